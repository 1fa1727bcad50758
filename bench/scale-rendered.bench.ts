import { seededRandom } from "../packages/geometry/src/index.ts";
import { greyOf } from "../packages/picture/src/decode/decode.ts";
import { type FoundScales, readScale } from "../packages/picture/src/scale/read-scale.ts";
import {
  type Picture,
  renderPicture,
  standardCamera,
  standardScene,
  type Thing,
} from "../packages/simulator/src/index.ts";

/**
 * How well scales are read on rendered skin with known truth: kinds, materials, wear, lean to 35 degrees, any turn,
 * defocus, motion, distortion, noise. Prints a row per kind, and every silent error (more than 2 % off, no warning).
 *   node bench/scale-rendered.bench.ts [FIRST_SEED] [COUNT]
 */
const [first = 5000, count = 100] = process.argv.slice(2).map(Number);
const WIDTH = 1500;
const SENSOR_MM = 36;
const KINDS = [
  "mm",
  "mm",
  "mm-by-ten",
  "half-mm",
  "L",
  "L",
  "mm + inch/16",
  "mm + inch/8",
  "inch/8",
  "inch/16",
  "inch/32",
  "inch/10",
  "blocks, subdivided",
  "blocks",
  "mm-equal",
] as const;

interface Row {
  shown: number;
  found: number;
  warned: number;
  silent: number;
  readonly errorsPct: number[];
  covered: number;
  ratios: number;
  ratiosCovered: number;
  leans: number;
  leansCovered: number;
}

const out = (line: string) => process.stdout.write(`${line}\n`);
const rows = new Map<string, Row>();
for (let seed = first; seed < first + count; seed++) await one(seed);
out("kind                 shown found warned silent  median %   p95 %  covered  ratio covered  lean covered");
for (const [kind, r] of [...rows].sort()) {
  const sorted = r.errorsPct.sort((a, b) => a - b);
  const at = (q: number) => (sorted.length ? sorted[Math.floor((sorted.length - 1) * q)]!.toFixed(3) : "-");
  const share = (a: number, b: number) => (b ? `${a}/${b}` : "-");
  out(
    [
      kind.padEnd(20),
      String(r.shown).padStart(5),
      String(r.found).padStart(5),
      String(r.warned).padStart(6),
      String(r.silent).padStart(6),
      at(0.5).padStart(9),
      at(0.95).padStart(7),
      share(r.covered, sorted.length).padStart(8),
      share(r.ratiosCovered, r.ratios).padStart(14),
      share(r.leansCovered, r.leans).padStart(13),
    ].join(" "),
  );
}

async function one(seed: number): Promise<void> {
  const random = seededRandom(seed);
  const pick = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)] as T;
  const kind = pick(KINDS);
  const ratio = 2 + 10 * random();
  const field = SENSOR_MM * ratio;
  const style = {
    material: pick(["paper", "plastic", "steel", "wood", "adhesive", "clear"] as const),
    polarity: random() < 0.2 ? ("light-on-dark" as const) : ("dark-on-light" as const),
    tickWidthMm: 0.12 + 0.15 * random(),
    inkDensity: random() < 0.3 ? 0.4 + 0.5 * random() : 1,
    wear: random() < 0.2 ? 0.4 * random() : 0,
    baseLine: random() < 0.3,
    edgeGapMm: random() < 0.3 ? random() : 0,
    numerals: pick(["upright", "inverted", "along", "none"] as const),
    seed,
  };
  const lengthMm = Math.max(30, Math.min(150, Math.round((field * (0.35 + 0.4 * random())) / 10) * 10));
  const placement = {
    xMm: 0.1 * field * (random() - 0.5),
    yMm: 0.3 * field * (random() - 0.5),
    rotateDeg: random() < 0.5 ? 10 * (random() - 0.5) : 360 * random(),
  };
  const lean = random() < 0.3 ? 0 : 35 * random();
  const towards = 2 * Math.PI * random();
  const camera = standardCamera({
    widthPx: WIDTH,
    heightPx: (WIDTH * 2) / 3,
    magnification: 1 / ratio,
    focalMm: pick([60, 100, 150]),
    leanXDeg: lean * Math.sin(towards),
    leanYDeg: lean * Math.cos(towards),
    rollDeg: 10 * (random() - 0.5),
    noiseLevel: 0.5 + 2 * random(),
    focusOffsetMm: random() < 0.3 ? 4 * ratio * (random() - 0.5) : 0,
    motion: { lengthPx: random() < 0.2 ? 2 * random() : 0, directionDeg: 360 * random() },
    radialK1: random() < 0.3 ? 0.01 * (random() - 0.5) : 0,
    exposureStops: random() - 0.6,
  });
  const thing = thingOf(kind, lengthMm, placement, style, ratio, random);
  const picture = await renderPicture({ scene: standardScene({ things: [thing] }), camera, seed });
  const options = { focalMm: camera.focalMm, pixelMm: SENSOR_MM / WIDTH };
  const reading = readScale(greyOf(picture), options);
  const row = rows.get(kind) ?? empty();
  rows.set(kind, row);
  row.shown++;
  if (reading.found) judge(seed, kind, row, reading, picture);
}

function thingOf(
  kind: (typeof KINDS)[number],
  lengthMm: number,
  placement: { xMm: number; yMm: number; rotateDeg: number },
  style: object,
  ratio: number,
  random: () => number,
): Thing {
  if (kind === "L") {
    const legMm = Math.max(20, Math.min(100, Math.round((24 * ratio * (0.35 + 0.25 * random())) / 10) * 10));
    const at = { xMm: -0.4 * legMm, yMm: -0.3 * legMm, rotateDeg: 20 * (random() - 0.5) };
    return { kind: "l-scale", placement: at, legMm, legWidthMm: Math.min(25.4, 0.8 * legMm), style };
  }
  const inches = Math.max(2, Math.round(lengthMm / 25.4)) * 25.4;
  const straight = (edges: Extract<Thing, { kind: "straight-scale" }>["edges"], length = lengthMm): Thing => {
    return { kind: "straight-scale", placement, lengthMm: length, edges, style };
  };
  switch (kind) {
    case "mm + inch/16":
      return straight(["mm", "inch/16"]);
    case "mm + inch/8":
      return straight(["mm", "inch/8"]);
    case "blocks":
      return straight([{ blockMm: 10, subdivided: false }]);
    case "blocks, subdivided":
      return straight([{ blockMm: 10, subdivided: true }]);
    default:
      return straight([kind], kind.startsWith("inch") ? inches : lengthMm);
  }
}

function judge(seed: number, kind: string, row: Row, reading: FoundScales, picture: Picture): void {
  row.found++;
  const warned = reading.warnings.length > 0;
  if (warned) row.warned++;
  for (const scale of reading.scales) {
    const truth = localTruth(picture, scale.at, scale.axisDeg);
    const errorPct = 100 * Math.abs(scale.pxPerMm.value / truth - 1);
    if (warned) continue;
    if (!(errorPct <= 2)) {
      row.silent++;
      out(`SILENT ERROR seed ${seed}, ${kind}: read ${scale.pxPerMm.value} for ${truth}`);
      return;
    }
    row.errorsPct.push(errorPct);
    if (Math.abs(scale.pxPerMm.value - truth) <= scale.pxPerMm.u95) row.covered++;
  }
  if (warned) return;
  const { camera, surface } = picture.truth;
  const onAxis = (camera.magnification * WIDTH) / SENSOR_MM;
  const facing = reading.plane ? onAxis : onAxis * nearness(picture, reading.scales[0]!.at);
  row.ratios++;
  if (Math.abs(reading.facingPxPerMm.value - facing) <= reading.facingPxPerMm.u95) row.ratiosCovered++;
  if (!reading.plane) return;
  row.leans++;
  const { value, u95 } = reading.plane.tiltDeg;
  if (Math.abs(value - surface.leanDeg) <= u95) row.leansCovered++;
}

/** px/mm of the two ticks nearest to a place, on an edge that runs in the direction read. */
function localTruth(picture: Picture, at: { x: number; y: number }, axisDeg: number): number {
  let best = { distance: Number.POSITIVE_INFINITY, pxPerMm: Number.NaN };
  for (const { ticks } of picture.truth.things.flatMap((t) => t.edges)) {
    for (let i = 0; i + 1 < ticks.length; i++) {
      const [a, b] = [ticks[i]!, ticks[i + 1]!];
      const [dx, dy] = [b.px[0] - a.px[0], b.px[1] - a.px[1]];
      const turn = Math.abs((((Math.atan2(dy, dx) * 180) / Math.PI - axisDeg) % 180) + 180) % 180;
      if (Math.min(turn, 180 - turn) > 20) continue;
      const distance = Math.hypot((a.px[0] + b.px[0]) / 2 - at.x, (a.px[1] + b.px[1]) / 2 - at.y);
      if (distance < best.distance) best = { distance, pxPerMm: Math.hypot(dx, dy) / (b.mm - a.mm) };
    }
  }
  return best.pxPerMm;
}

/** Depth at the axis over depth at a place: how much larger things appear there. */
function nearness(picture: Picture, at: { x: number; y: number }): number {
  const { camera, surface } = picture.truth;
  const [x, y] = [
    (at.x - camera.principalPointPx[0]) / camera.focalPx,
    (at.y - camera.principalPointPx[1]) / camera.focalPx,
  ];
  const tan = Math.tan((surface.leanDeg * Math.PI) / 180);
  const towards = ((surface.recedesTowardsDeg ?? 0) * Math.PI) / 180;
  return 1 - tan * (x * Math.cos(towards) + y * Math.sin(towards));
}

function empty(): Row {
  return {
    shown: 0,
    found: 0,
    warned: 0,
    silent: 0,
    errorsPct: [],
    covered: 0,
    ratios: 0,
    ratiosCovered: 0,
    leans: 0,
    leansCovered: 0,
  };
}
