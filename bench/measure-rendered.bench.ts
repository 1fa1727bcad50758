import { isMainThread, parentPort } from "node:worker_threads";
import { normal, seededRandom } from "../packages/geometry/src/index.ts";
import type { ScaleFound, XY } from "../packages/picture/src/answers.ts";
import { greyOf } from "../packages/picture/src/decode/decode.ts";
import { measureRegions, type PartSaid } from "../packages/picture/src/planimetry/measure-regions.ts";
import { readScale } from "../packages/picture/src/scale/read-scale.ts";
import {
  type Picture,
  renderPicture,
  standardCamera,
  standardScene,
  type Thing,
} from "../packages/simulator/src/index.ts";
import { rowsOfSeeds } from "./rows-of-seeds.ts";
import { quantile, shareOf } from "./scale-rendered/statistics.ts";

/**
 * Areas measured in rendered pictures of wounds with known truth: the scale is read from the pixels, the outline is the
 * true one for the errors, and for the intervals drawn too far out or in by what is stated of it. Scales lie a little above the skin, as real ones do.
 *   node bench/measure-rendered.bench.ts FIRST_SEED COUNT
 */
const [first = 0, count = 40] = process.argv.slice(2).map(Number);
const WIDTH = 1500;
const SENSOR_MM = 36;
const SCALES = ["L", "one straight", "two straight"] as const;

interface Row {
  readonly seed: number;
  readonly scale: (typeof SCALES)[number];
  readonly surface: "flat" | "limb, girth known" | "limb, said to be curved";
  readonly leanDeg: number;
  readonly method: "plane" | "local-scale" | null;
  /** With the true outline: what scale, plane and surface alone do. */
  readonly exactPct: number;
  /** With the outline drawn a little off. */
  readonly errorPct: number;
  readonly holds: boolean;
  readonly u95Pct: number;
}

if (isMainThread) {
  const rows = await rowsOfSeeds<Row>(new URL(import.meta.url), { first, count }, 2);
  for (const line of tables(rows)) process.stdout.write(`${line}\n`);
} else {
  parentPort!.on("message", async (seed: number) => parentPort!.postMessage(await rowOf(seed)));
}

async function rowOf(seed: number): Promise<Row> {
  const random = seededRandom(seed);
  const scale = SCALES[Math.floor(random() * 3)]!;
  const isLimb = random() < 0.25;
  const surface = isLimb ? (random() < 0.6 ? "limb, girth known" : "limb, said to be curved") : "flat";
  const radiusMm = 40 + 50 * random();
  const ratio = 3 + 4 * random();
  const lean = 20 * random() * (random() < 0.15 ? 1.5 : 1);
  const towards = 2 * Math.PI * random();
  const lengthMm = 12 + 28 * random();
  const wound: Thing = {
    kind: "wound",
    placement: { xMm: 8 * (random() - 0.5), yMm: 8 * (random() - 0.5), rotateDeg: 360 * random() },
    seed,
    lengthMm,
    widthMm: lengthMm * (0.45 + 0.5 * random()),
  };
  const camera = standardCamera({
    widthPx: WIDTH,
    heightPx: 1000,
    magnification: 1 / ratio,
    focalMm: [60, 100, 150][Math.floor(3 * random())]!,
    leanXDeg: lean * Math.sin(towards),
    leanYDeg: lean * Math.cos(towards),
  });
  const scene = standardScene({
    surface: isLimb ? { shape: "cylinder", radiusMm, axisDeg: 90 } : { shape: "plane" },
    things: [wound, ...scalesOf(scale, lengthMm, 1.2 * random(), isLimb)],
  });
  const picture = await renderPicture({ scene, camera, seed });
  const pixelMm = SENSOR_MM / WIDTH;
  const found = readScale(greyOf(picture), { focalMm: camera.focalMm, pixelMm });
  const base = { seed, scale, surface, leanDeg: picture.truth.surface.leanDeg } as const;
  const none = {
    ...base,
    method: null,
    exactPct: Number.NaN,
    errorPct: Number.NaN,
    holds: false,
    u95Pct: Number.NaN,
  };
  if (!found.found) return none;
  const { found: _, ...reading } = found;
  const answer = {
    ...reading,
    file: "",
    widthPx: WIDTH,
    heightPx: 1000,
    found: true,
    reproductionRatio: null,
    recipe: { step: "scale", version: 1, parameters: {} },
  } as unknown as ScaleFound;
  const edgeUPx = 1 + 2 * random();
  const { outlinePx, areaMm2 } = picture.truth.things[0]!.regions[0]!;
  const measure = (byPx: number) =>
    measureRegions(
      [{ outline: drawnOff(outlinePx, byPx), holes: [], edgeUPx }],
      answer,
      said(surface, radiusMm, picture),
    );
  const [exact, drawn] = [measure(0), measure(normal(0, edgeUPx)(random))];
  if ("reason" in exact || "reason" in drawn) return none;
  const { value, u95 } = drawn.regions[0]!.areaMm2;
  return {
    ...base,
    method: drawn.method,
    exactPct: 100 * (exact.regions[0]!.areaMm2.value / areaMm2 - 1),
    errorPct: 100 * (value / areaMm2 - 1),
    holds: Math.abs(value - areaMm2) <= u95,
    u95Pct: (100 * u95) / value,
  };
}

function scalesOf(kind: Row["scale"], lengthMm: number, heightMm: number, isLimb: boolean): Thing[] {
  const clear = lengthMm / 2 + 10;
  const turn = isLimb ? 90 : 0;
  const straight = (side: 1 | -1): Thing => ({
    kind: "straight-scale",
    // On a limb the scale lies along its crest, so that it lies flat.
    placement: isLimb
      ? { xMm: 0, yMm: side * (clear + 26), rotateDeg: turn, heightMm }
      : { xMm: 0, yMm: side * (clear + 11), rotateDeg: 0, heightMm },
    lengthMm: 50,
    edges: ["mm"],
  });
  switch (kind) {
    case "one straight":
      return [straight(1)];
    case "two straight":
      return [straight(1), straight(-1)];
    case "L":
      return [
        {
          kind: "l-scale",
          placement: { xMm: -clear, yMm: -clear, rotateDeg: 0, heightMm },
          legMm: Math.min(60, 2 * clear),
          legWidthMm: 20,
        },
      ];
  }
}

function said(surface: Row["surface"], radiusMm: number, { truth }: Picture): PartSaid {
  if (surface === "flat") return {};
  if (surface === "limb, said to be curved") return { isCurved: true };
  const h = truth.surface.homographyMmToPx;
  const px = (x: number, y: number): XY => {
    const w = h[2][0] * x + h[2][1] * y + h[2][2];
    return [(h[0][0] * x + h[0][1] * y + h[0][2]) / w, (h[1][0] * x + h[1][1] * y + h[1][2]) / w];
  };
  return { limb: { middle: [px(0, -30), px(0, 30)], girthMm: 2 * Math.PI * radiusMm } };
}

/** Every point moved along the edge's normal, as a person draws a whole edge too wide or too narrow. */
function drawnOff(outline: readonly XY[], byPx: number): { x: number; y: number }[] {
  const n = outline.length;
  const area = outline.reduce((sum, [x, y], i) => {
    const [nx, ny] = outline[(i + 1) % n]!;
    return sum + x * ny - nx * y;
  }, 0);
  const reach = Math.max(1, Math.round(n / 60));
  return outline.map(([x, y], i) => {
    const [ax, ay] = outline[(i + n - reach) % n]!;
    const [bx, by] = outline[(i + reach) % n]!;
    const length = Math.hypot(bx - ax, by - ay);
    const sense = Math.sign(area) * byPx;
    return { x: x + (sense * (by - ay)) / length, y: y - (sense * (bx - ax)) / length };
  });
}

function tables(rows: readonly Row[]): string[] {
  const lines = [
    `${"".padEnd(26)} shown measured  true outline, |error| %: median   95 %   worst   95 % interval, median %   holds %`,
    line("all", rows),
  ];
  const groups: Record<string, (row: Row) => string> = {
    scale: (r) => r.scale,
    surface: (r) => r.surface,
    lean: (r) => (r.leanDeg <= 10 ? " 0 to 10°" : r.leanDeg <= 20 ? "10 to 20°" : "20 to 30°"),
    method: (r) => r.method ?? "not measured",
    "L on flat skin, lean": (r) =>
      r.scale === "L" && r.surface === "flat" && r.method
        ? r.leanDeg <= 20
          ? "up to 20°"
          : "above"
        : "other",
  };
  for (const [name, of] of Object.entries(groups)) {
    lines.push(`by ${name}`);
    for (const group of [...new Set(rows.map(of))].sort())
      lines.push(
        line(
          group,
          rows.filter((r) => of(r) === group),
        ),
      );
  }
  const out = rows.filter((r) => r.method && !r.holds);
  lines.push(
    "not held:",
    ...out.map(
      (r) =>
        `  seed ${r.seed}: ${r.scale}, ${r.surface}, ${r.leanDeg.toFixed(0)}°, ${r.method}: ${r.errorPct.toFixed(1)} ± ${r.u95Pct.toFixed(1)} % (${r.exactPct.toFixed(1)} with the true outline)`,
    ),
  );
  return lines;
}

function line(name: string, rows: readonly Row[]): string {
  const measured = rows.filter((r) => r.method !== null);
  const errors = measured.map((r) => Math.abs(r.exactPct));
  const held = shareOf(measured, (r) => r.holds);
  const number = (v: number) => (Number.isNaN(v) ? "-" : v.toFixed(2)).padStart(8);
  return [
    name.padEnd(26),
    String(rows.length).padStart(5),
    String(measured.length).padStart(8),
    number(quantile(errors, 0.5)).padStart(24),
    number(quantile(errors, 0.95)),
    number(quantile(errors, 1)),
    number(
      quantile(
        measured.map((r) => r.u95Pct),
        0.5,
      ),
    ).padStart(25),
    held.of > 0 ? `   ${held.percent.toFixed(1)} (${held.least.toFixed(1)}-${held.most.toFixed(1)})` : "",
  ].join(" ");
}
