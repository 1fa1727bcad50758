import {
  type Camera,
  clutterPicture,
  encodePicture,
  evenLight,
  frontalLight,
  mixedLight,
  obliqueLight,
  type Picture,
  renderPicture,
  ringLight,
  type Scene,
  sceneTruth,
  standardCamera,
  type Thing,
} from "../../packages/simulator/src/index.ts";
import { type Draw, drawFrom } from "../../packages/simulator/src/scenarios/random/draw.ts";
import { anySurroundings } from "../../packages/simulator/src/scenarios/random/surroundings.ts";
import { developed, type Look } from "./development.ts";
import type { Facts } from "./row.ts";

type XY = readonly [x: number, y: number];

export interface ChartPicture {
  readonly jpeg: Buffer;
  /** Middles of dark skin, bluish green, black and white, for every chart in the picture. */
  readonly charts: readonly (readonly XY[])[];
  readonly facts: Facts;
}

const PITCH_MM = 10;
const CHART_MM = 6.35 * PITCH_MM;
const CORNERS = ["dark skin centre", "bluish green centre", "black centre", "white centre"];

const CONDITIONS = [
  "shade over a part",
  "shade lit by another lamp",
  "glare",
  "a patch covered",
  "strong JPEG",
  "noise",
  "blur",
  "wrong white balance",
  "contrast",
  "mixed light",
  "bright or dark",
] as const;
type Condition = (typeof CONDITIONS)[number];

/** The picture of that seed: a chart on or beside skin, held anyhow, in any state; one in five without any. Same seed, same picture. */
export async function chartPicture(seed: number): Promise<ChartPicture> {
  const draw = drawFrom(seed);
  const group = draw.weighted([
    [14, "chart"],
    [1.5, "part of a chart"],
    [1.5, "two charts"],
    [4, "no chart"],
  ] as const);
  if (group === "no chart") return await chartless(seed);
  const conditions = new Set<Condition>();
  const count = draw.weighted([
    [4, 0],
    [4, 1],
    [2, 2],
  ] as const);
  while (conditions.size < count) conditions.add(draw.pick(CONDITIONS));
  const frame = draw.weighted([
    [5, { widthPx: 1500, heightPx: 1000, sensorMm: { width: 36, height: 24 } }],
    [2, { widthPx: 1200, heightPx: 900, sensorMm: { width: 17.3, height: 12.975 } }],
    [2, { widthPx: 2400, heightPx: 1600, sensorMm: { width: 22.5, height: 15 } }],
  ] as const);
  // Length of the whole card where it does not lean.
  const wantedPx = draw.octaves(120, group === "two charts" ? 0.35 * frame.widthPx : 0.6 * frame.heightPx);
  const pxPerMm = wantedPx / CHART_MM;
  const fieldMm = frame.widthPx / pxPerMm;
  const light = draw.pick(["even", "ring", "frontal", "oblique"] as const);
  const surroundings = anySurroundings(draw, seed, fieldMm);
  const scene: Scene = {
    ...surroundings,
    light: conditions.has("mixed light") ? mixedLight() : lightOf(light, draw),
  };
  const lean = draw.weighted([
    [3, 0],
    [5, draw.between(2, 25)],
    [3, draw.between(25, 50)],
  ] as const);
  const towards = draw.between(0, 2 * Math.PI);
  const camera = standardCamera({
    ...frame,
    magnification: (pxPerMm * frame.sensorMm.width) / frame.widthPx,
    focalMm: (draw.pick([35, 60, 100]) * frame.sensorMm.width) / 36,
    fNumber: draw.between(8, 16),
    leanXDeg: lean * Math.sin(towards),
    leanYDeg: lean * Math.cos(towards),
    rollDeg: draw.between(-180, 180),
    vignetting: draw.between(0, 1.2),
    exposureStops: conditions.has("bright or dark")
      ? draw.pick([-1.8, -1.2, 0.5, 0.9])
      : draw.between(-0.7, -0.05),
    whiteBalanceK: conditions.has("wrong white balance") ? draw.pick([3200, 4200, 7000, 8500]) : 5500,
    iso: conditions.has("noise") ? 12800 : 400,
    noiseLevel: conditions.has("noise") ? draw.between(1, 3) : draw.between(0.5, 1.5),
    motion: {
      lengthPx: conditions.has("blur") ? (draw.between(0.05, 0.12) * wantedPx) / 6 : 0,
      directionDeg: draw.between(0, 360),
    },
    sharpen: draw.between(0, 0.8),
    jpegQuality: Math.round(conditions.has("strong JPEG") ? draw.between(40, 60) : draw.between(75, 95)),
  });
  const things = placed(draw, scene, camera, group, fieldMm, conditions);
  const picture = await renderPicture({ scene: { ...scene, things }, camera, seed });
  const look: Look = {
    contrast: conditions.has("contrast") ? draw.between(0.2, 0.7) : 0,
    crosstalk: draw.between(0, 0.12),
    mirrored: draw.chance(0.15),
    shade: null,
  };
  const first = cornersOf(picture)[0]!;
  const shade = SHADES.find((name) => conditions.has(name));
  const shaded: Look = shade ? { ...look, shade: shadeOver(draw, first, shade) } : look;
  const shown = developed(picture, shaded);
  const charts = cornersOf(picture).map((corners) =>
    corners.map(([x, y]): XY => (look.mirrored ? [picture.widthPx - x, y] : [x, y])),
  );
  const facts = factsOf({ group, shown, corners: charts[0]!, camera, lean, look, conditions, light });
  return { jpeg: await encodePicture(shown, camera, "jpeg"), charts, facts };
}

async function chartless(seed: number): Promise<ChartPicture> {
  const { shot, facts } = clutterPicture(seed + 4_000_000);
  const picture = await renderPicture(shot);
  return {
    jpeg: await encodePicture(picture, shot.camera, "jpeg"),
    charts: [],
    facts: {
      group: "no chart",
      lengthPx: 0,
      turnDeg: 0,
      leanDeg: facts.leanDeg,
      mirrored: false,
      light: "any",
      conditions: [facts.kind],
      whiteLevel: 0,
      properlyExposed: false,
    },
  };
}

function lightOf(name: "even" | "ring" | "frontal" | "oblique", draw: Draw): Scene["light"] {
  if (name === "even") return evenLight();
  if (name === "ring") return ringLight();
  if (name === "frontal") return frontalLight();
  return obliqueLight(draw.between(0, 360), draw.between(35, 60));
}

/** Places tried before the middle of the picture is taken. */
const TRIES = 12;

function placed(
  draw: Draw,
  scene: Scene,
  camera: Camera,
  group: Facts["group"],
  fieldMm: number,
  conditions: ReadonlySet<Condition>,
): Thing[] {
  const chartAt = (xMm: number, yMm: number, rotateDeg: number): Thing => ({
    kind: "chart",
    patchMm: PITCH_MM,
    placement: { xMm, yMm, rotateDeg, heightMm: draw.chance(0.3) ? 1 : 0 },
  });
  const inside = (chart: Thing, wanted: (share: number) => boolean): boolean => {
    const { things, widthPx, heightPx } = sceneTruth({ ...scene, things: [chart] }, camera);
    const points = things[0]!.points.filter((p) => p.name.startsWith("patch "));
    const margin = 0.02 * widthPx;
    const within = points.filter(
      ({ px: [x, y] }) => x > margin && y > margin && x < widthPx - margin && y < heightPx - margin,
    );
    return wanted(within.length / points.length);
  };
  const turn = draw.between(0, 360);
  const find = (reach: number, wanted: (share: number) => boolean, centre: XY = [0, 0]): Thing | null => {
    for (let i = 0; i < TRIES; i++) {
      const x = centre[0] + draw.between(-reach, reach) * fieldMm;
      const y = centre[1] + draw.between(-reach, reach) * fieldMm * 0.66;
      const chart = chartAt(x, y, turn);
      if (inside(chart, wanted)) return chart;
    }
    return null;
  };
  const whole = (share: number) => share === 1;
  if (group === "part of a chart") {
    const chart = find(0.8, (share) => share > 0.35 && share < 0.8) ?? chartAt(0.5 * fieldMm, 0, turn);
    return [...scene.things, chart];
  }
  if (group === "two charts") {
    const one = find(0.1, whole, [-0.25 * fieldMm, 0]) ?? chartAt(-0.22 * fieldMm, 0, 0);
    const other = find(0.1, whole, [0.25 * fieldMm, 0]) ?? chartAt(0.22 * fieldMm, 0, 0);
    return [...scene.things, one, other];
  }
  const chart = find(0.3, whole) ?? chartAt(0, 0, turn);
  const { placement } = chart as { placement: { xMm: number; yMm: number; rotateDeg: number } };
  const on = (column: number, row: number) => {
    const [x, y] = [(column - 2.5) * PITCH_MM, (row - 1.5) * PITCH_MM];
    const a = (placement.rotateDeg * Math.PI) / 180;
    return {
      xMm: placement.xMm + x * Math.cos(a) - y * Math.sin(a),
      yMm: placement.yMm + x * Math.sin(a) + y * Math.cos(a),
      rotateDeg: placement.rotateDeg,
      heightMm: 2,
    };
  };
  const covers: Thing[] = [];
  if (conditions.has("a patch covered")) {
    const at = on(draw.whole(0, 5), draw.whole(0, 3));
    covers.push({
      kind: "disc",
      placement: at,
      diameterMm: 0.9 * PITCH_MM,
      rgb: [0.5, 0.3, 0.25],
    });
  }
  if (conditions.has("glare")) {
    const lengthMm = draw.between(1, 2.5) * PITCH_MM;
    covers.push({
      kind: "glare",
      placement: on(draw.between(0, 5), draw.between(0, 3)),
      lengthMm,
      widthMm: lengthMm * draw.between(0.5, 1),
      strength: draw.between(0.5, 1),
    });
  }
  return [...scene.things, chart, ...covers];
}

const cornersOf = (picture: Picture): XY[][] =>
  picture.truth.things
    .filter((thing) => thing.kind === "chart")
    .map((thing) => CORNERS.map((name) => thing.points.find((p) => p.name === name)!.px));

const SHADES = ["shade over a part", "shade lit by another lamp"] as const;

/** A straight edge of shade through the chart, somewhere between its quarters. */
function shadeOver(
  draw: Draw,
  corners: readonly XY[],
  name: (typeof SHADES)[number],
): NonNullable<Look["shade"]> {
  const [a, , c] = corners as [XY, XY, XY, XY];
  const t = draw.between(0.25, 0.75);
  const left = draw.between(0.35, 0.75);
  // a room lamp of some 3000 K, or daylight from a window, where the flash does not reach
  const other = draw.pick([
    [1.35, 1, 0.55],
    [0.85, 1, 1.25],
  ] as const);
  const tint = name === "shade lit by another lamp" ? other : ([1, 1, 1] as const);
  return {
    through: [a[0] + t * (c[0] - a[0]), a[1] + t * (c[1] - a[1])],
    directionDeg: draw.between(0, 360),
    light: [left * tint[0], left * tint[1], left * tint[2]],
    softPx: draw.between(2, 25),
  };
}

interface Told {
  readonly group: Facts["group"];
  readonly shown: Picture;
  readonly corners: readonly XY[];
  readonly camera: Camera;
  readonly lean: number;
  readonly look: Look;
  readonly conditions: ReadonlySet<Condition>;
  readonly light: string;
}

function factsOf({ group, shown, corners, camera, lean, look, conditions, light }: Told): Facts {
  const [a, b, , white] = corners as [XY, XY, XY, XY];
  const whiteLevel = levelAt(shown, white);
  const disturbed = ([...SHADES, "glare", "mixed light"] as const).some((c) => conditions.has(c));
  return {
    group,
    lengthPx: Math.hypot(b[0] - a[0], b[1] - a[1]),
    turnDeg: camera.rollDeg,
    leanDeg: lean,
    mirrored: look.mirrored,
    light: conditions.has("mixed light") ? "mixed" : light,
    conditions: [...conditions],
    whiteLevel,
    properlyExposed: !disturbed && whiteLevel <= 253 && whiteLevel >= 128,
  };
}

/** Brightest channel in the middle of a patch, mean over 5 × 5 px. */
function levelAt({ rgb, widthPx, heightPx }: Picture, [x, y]: XY): number {
  const sums = [0, 0, 0];
  let n = 0;
  for (let dy = -2; dy <= 2; dy++) {
    for (let dx = -2; dx <= 2; dx++) {
      const [px, py] = [Math.floor(x) + dx, Math.floor(y) + dy];
      if (px < 0 || py < 0 || px >= widthPx || py >= heightPx) continue;
      n++;
      for (const c of [0, 1, 2]) sums[c]! += rgb[3 * (py * widthPx + px) + c]!;
    }
  }
  return n > 0 ? Math.max(...sums) / n : 0;
}
