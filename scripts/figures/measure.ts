import { fileURLToPath } from "node:url";
import { invertHomography, localScalePxPerMm } from "../../packages/geometry/src/index.ts";
import type { ScaleFound, XY } from "../../packages/picture/src/answers.ts";
import { greyOf } from "../../packages/picture/src/decode/decode.ts";
import { sharp } from "../../packages/picture/src/decode/sharp.ts";
import {
  type Measurements,
  measureRegions,
  type PartSaid,
} from "../../packages/picture/src/planimetry/measure-regions.ts";
import { readScale } from "../../packages/picture/src/scale/read-scale.ts";
import {
  renderPicture,
  sceneTruth,
  standardCamera,
  standardScene,
  type Thing,
  type Truth,
} from "../../packages/simulator/src/index.ts";
import { Chart, QUIET, svg, text } from "./drawing.ts";

/**
 * Draws the figures of docs/methods/measure.md from real runs and prints the numbers that stand beside them.
 *   node scripts/figures/measure.ts
 */
const folder = fileURLToPath(new URL("../../docs/methods/figures/", import.meta.url));
const out = (line: string) => process.stdout.write(`${line}\n`);
const FIRST = "#0072b2";
const SECOND = "#d55e00";

await drawMeasured();
await drawLimbs();
await drawLeans();

async function drawMeasured(): Promise<void> {
  const camera = standardCamera({
    widthPx: 1500,
    heightPx: 1000,
    magnification: 1 / 4,
    focalMm: 100,
    leanXDeg: 12,
    leanYDeg: -9,
  });
  const wound: Thing = {
    kind: "wound",
    placement: { xMm: 8, yMm: 6, rotateDeg: 20 },
    seed: 9,
    lengthMm: 46,
    widthMm: 27,
  };
  const scale: Thing = { kind: "l-scale", placement: { xMm: -38, yMm: -33, rotateDeg: 3 }, legMm: 60 };
  const picture = await renderPicture({ scene: standardScene({ things: [wound, scale] }), camera, seed: 4 });
  const found = readScale(greyOf(picture), { focalMm: 100, pixelMm: 36 / 1500 });
  if (!found.found) throw new Error(found.reason);
  const reading: ScaleFound = {
    file: "",
    widthPx: 1500,
    heightPx: 1000,
    found: true,
    scales: found.scales,
    plane: found.plane,
    reproductionRatio: null,
    warnings: found.warnings,
    recipe: { step: "scale", version: 2, parameters: { scaleToleranceU: found.lengthU } },
  };
  const truth = picture.truth.things[0]!.regions[0]!;
  const { regions, budget } = measured(truth.outlinePx, reading, {}, 1.5);
  const [region] = regions;
  const ring = `M${truth.outlinePx.map(([x, y]) => `${x.toFixed(1)} ${y.toFixed(1)}`).join("L")}Z`;
  const cased = (path: string, width: number) =>
    `<path d="${path}" fill="none" stroke="#000" stroke-width="${width + 3}"/><path d="${path}" fill="none" stroke="#fff" stroke-width="${width}"/>`;
  const segment = ([[ax, ay], [bx, by]]: readonly [XY, XY]) => `M${ax} ${ay}L${bx} ${by}`;
  const marks = cased(ring, 2) + cased(segment(region!.lengthEndsPx), 1.5) + cased(across(region!), 1.5);
  await sharp(picture.rgb, { raw: { width: 1500, height: 1000, channels: 3 } })
    .composite([{ input: svg(1500, 1000, marks) }])
    .jpeg({ quality: 78 })
    .toBuffer()
    .then((whole) =>
      sharp(whole).resize({ width: 1000 }).jpeg({ quality: 74 }).toFile(`${folder}measured.jpg`),
    );
  const said = (name: string, { value, u95 }: { value: number; u95: number }, true_: number) =>
    out(`  ${name} ${value.toFixed(1)} ± ${u95.toFixed(1)}, truth ${true_.toFixed(1)}`);
  out(`measured.jpg: lean ${picture.truth.surface.leanDeg.toFixed(1)}°`);
  said("area", region!.areaMm2, truth.areaMm2);
  said("length", region!.lengthMm, truth.lengthMm);
  said("width", region!.widthMm, truth.widthMm);
  await drawBudget(budget.slice(0, 7));
}

/** The width's two ends lie on different lines along the length: drawn square through the middle of both. */
function across({ lengthEndsPx, widthEndsPx }: Measurements["regions"][number]): string {
  const [[ax, ay], [bx, by]] = lengthEndsPx;
  const size = Math.hypot(bx - ax, by - ay);
  const [ux, uy] = [(bx - ax) / size, (by - ay) / size];
  const along = ([x, y]: XY) => (x - ax) * ux + (y - ay) * uy;
  const aside = ([x, y]: XY) => (y - ay) * ux - (x - ax) * uy;
  const t = (along(widthEndsPx[0]) + along(widthEndsPx[1])) / 2;
  const at = (p: XY) => `${ax + t * ux - aside(p) * uy} ${ay + t * uy + aside(p) * ux}`;
  return `M${at(widthEndsPx[0])}L${at(widthEndsPx[1])}`;
}

async function drawBudget(budget: Measurements["budget"]): Promise<void> {
  const [width, rowPx, left] = [1000, 34, 520];
  const most = Math.max(...budget.map(({ u }) => u));
  const rows = budget.map(({ source, u }, i) => {
    const y = 24 + i * rowPx;
    const bar = ((width - left - 110) * u) / most;
    return `${text(source, left - 12, y, 10, "#222", 1)}<rect x="${left}" y="${y - 8}" width="${bar}" height="16" fill="${FIRST}"/>${text(`${(100 * u).toFixed(2)} %`, left + bar + 10, y, 10, QUIET, -1)}`;
  });
  const height = 24 + rowPx * budget.length;
  const white = `<rect width="${width}" height="${height}" fill="#fff"/>`;
  await sharp(svg(width, height, white + rows.join("")))
    .png({ palette: true })
    .toFile(`${folder}measure-budget.png`);
  for (const { source, u } of budget) out(`  ${source}: ${(100 * u).toFixed(2)} %`);
}

/** A wound of 36 mm across limbs of different girth, square on: flat, and laid out by the girth. */
async function drawLimbs(): Promise<void> {
  const radii = Array.from({ length: 10 }, (_, i) => 30 + 10 * i);
  const rows = radii.map((radiusMm) => {
    const truth = woundSeen({ surface: { shape: "cylinder", radiusMm, axisDeg: 90 } });
    const reading = perfect(truth, true);
    const { outlinePx, areaMm2 } = truth.things[0]!.regions[0]!;
    const off = (said: PartSaid) => {
      const { value, u95 } = measured(outlinePx, reading, said, 0.5).regions[0]!.areaMm2;
      return { error: 100 * (value / areaMm2 - 1), half: (100 * u95) / areaMm2 };
    };
    const px = (y: number): XY => [truth.widthPx / 2, truth.heightPx / 2 + y];
    const limb = { middle: [px(-500), px(500)], girthMm: 2 * Math.PI * radiusMm } as const;
    return { flat: off({}), said: off({ isCurved: true }), laid: off({ limb }) };
  });
  const chart = new Chart(1000, 380);
  chart.panel(40, 340, [25, 125], [-20, 12], "area against the truth, %; radius of the limb 30 to 120 mm", [
    "-20",
    "-10",
    "0",
    "10",
  ]);
  chart.line(
    radii,
    rows.map((r) => r.flat.error),
    SECOND,
  );
  chart.line(
    radii,
    rows.map((r) => r.laid.error),
    FIRST,
  );
  for (const side of [1, -1]) {
    chart.line(
      radii,
      rows.map((r) => Math.min(12, r.said.error + side * r.said.half)),
      "#e8b48a",
    );
    chart.line(
      radii,
      rows.map((r) => r.laid.error + side * r.laid.half),
      "#9cc4e4",
    );
  }
  await chart.write(`${folder}measure-limb.png`);
  out("measure-limb.png: radius: flat, laid out, ± of laid out, ± of said to be curved");
  radii.forEach((r, i) => {
    const { flat, laid, said } = rows[i]!;
    out(
      `  ${r}: ${flat.error.toFixed(1)}, ${laid.error.toFixed(2)}, ${laid.half.toFixed(1)}, ${said.half.toFixed(1)}`,
    );
  });
}

/** One straight scale below the wound, the camera leaning more and more: by the local scale, with its interval. */
async function drawLeans(): Promise<void> {
  const leans = Array.from({ length: 16 }, (_, i) => 2 * i);
  const rows = leans.map((lean) => {
    const truth = woundSeen({}, { leanXDeg: lean });
    const { outlinePx, areaMm2 } = truth.things[0]!.regions[0]!;
    const of = (withPlane: boolean) =>
      measured(outlinePx, perfect(truth, withPlane), {}, 0.5).regions[0]!.areaMm2;
    const [local, plane] = [of(false), of(true)];
    return {
      local: 100 * (local.value / areaMm2 - 1),
      half: (100 * local.u95) / areaMm2,
      plane: 100 * (plane.value / areaMm2 - 1),
    };
  });
  const chart = new Chart(1000, 360);
  chart.panel(40, 320, [0, 31], [-25, 15], "area against the truth, %; lean of the camera 0 to 30°", [
    "-20",
    "-10",
    "0",
    "10",
  ]);
  chart.line(
    leans,
    rows.map((r) => r.local),
    SECOND,
  );
  for (const side of [1, -1])
    chart.line(
      leans,
      rows.map((r) => r.local + side * r.half),
      "#e8b48a",
    );
  chart.line(
    leans,
    rows.map((r) => r.plane),
    FIRST,
  );
  await chart.write(`${folder}measure-lean.png`);
  out("measure-lean.png: lean: by the local scale, its ±, by the plane");
  for (const [i, { local, half, plane }] of rows.entries())
    out(`  ${leans[i]}°: ${local.toFixed(1)}, ${half.toFixed(1)}, ${plane.toFixed(2)}`);
}

function woundSeen(scene: Parameters<typeof standardScene>[0], lean: { leanXDeg?: number } = {}): Truth {
  const wound: Thing = {
    kind: "wound",
    placement: { xMm: 0, yMm: 0, rotateDeg: 0 },
    seed: 9,
    lengthMm: 36,
    widthMm: 28,
  };
  const camera = standardCamera({
    widthPx: 3000,
    heightPx: 2000,
    magnification: 1 / 4,
    focalMm: 100,
    ...lean,
  });
  return sceneTruth(standardScene({ ...scene, things: [wound] }), camera);
}

/** A reading without error, of a scale that lies along the picture's width below the wound. */
function perfect(truth: Truth, withPlane: boolean): ScaleFound {
  const homographyPxToMm = invertHomography(truth.surface.homographyMmToPx);
  const onLimb = truth.surface.shape === "cylinder";
  const at = { x: truth.widthPx / 2, y: truth.heightPx / 2 + (onLimb ? 0 : 550) };
  const [a, b] = [-0.5, 0.5].map((dx) => through(homographyPxToMm, at.x + dx, at.y));
  const along = 1 / Math.hypot(a!.x - b!.x, a!.y - b!.y);
  const value = withPlane ? localScalePxPerMm(homographyPxToMm, at as never).mean : along;
  return {
    file: "",
    widthPx: truth.widthPx,
    heightPx: truth.heightPx,
    found: true,
    scales: [
      {
        kind: "straight",
        unit: "mm",
        pxPerMm: { value, u95: 0.002 * value },
        at,
        axisDeg: 0,
        ticks: [],
        coverageMm: 60,
        residualPx: 0,
      },
    ],
    plane: withPlane ? { homographyPxToMm, tiltDeg: { value: truth.surface.leanDeg, u95: 0.5 } } : null,
    reproductionRatio: null,
    imageDistancePx: truth.camera.focalPx,
    warnings: [],
    recipe: { step: "scale", version: 2, parameters: {} },
  };
}

function through(h: ReturnType<typeof invertHomography>, x: number, y: number) {
  const w = h[2][0] * x + h[2][1] * y + h[2][2];
  return { x: (h[0][0] * x + h[0][1] * y + h[0][2]) / w, y: (h[1][0] * x + h[1][1] * y + h[1][2]) / w };
}

function measured(
  outlinePx: readonly XY[],
  reading: ScaleFound,
  said: PartSaid,
  edgeUPx: number,
): Measurements {
  const outline = outlinePx.map(([x, y]) => ({ x, y }));
  const found = measureRegions([{ outline, holes: [], edgeUPx }], reading, said);
  if ("reason" in found) throw new Error(found.reason);
  return found;
}
