import { parentPort } from "node:worker_threads";
import { type Measured, seededRandom } from "../../packages/geometry/src/index.ts";
import type { Matrix3, ReadScale, ScalePlane, XY } from "../../packages/picture/src/answers.ts";
import { decodeBytes, greyOf } from "../../packages/picture/src/decode/decode.ts";
import { readScale } from "../../packages/picture/src/scale/read-scale.ts";
import {
  encodePicture,
  renderPicture,
  type SkinTone,
  standardCamera,
  standardScene,
  standardSkin,
  type Thing,
} from "../../packages/simulator/src/index.ts";

/**
 * Pictures of wounds and lesions beside a scale, rendered, saved as JPEG and read again. What comes out is the truth and
 * what the scale said; the picture itself is let go, so that measuring can be tried again without rendering.
 */
export const SCALES = ["L", "one straight", "two straight"] as const;
export const SURFACES = [
  "flat",
  "limb, girth told",
  "limb, edges marked",
  "limb, said to be curved",
] as const;

export interface Case {
  readonly seed: number;
  readonly scale: (typeof SCALES)[number];
  readonly surface: (typeof SURFACES)[number];
  readonly radiusMm: number;
  readonly subject: "wound" | "lesion";
  readonly tone: SkinTone;
  readonly ratio: number;
  readonly focalMm: number;
  readonly heightMm: number;
  readonly radialK1: number;
  readonly leanDeg: number;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly objectDistanceMm: number;
  /** Surface mm to px of the undistorted picture. */
  readonly homographyMmToPx: Matrix3;
  readonly outlinePx: readonly XY[];
  readonly outlineMm: readonly XY[];
  readonly areaMm2: number;
  readonly lengthMm: number;
  readonly widthMm: number;
  /** What was read, without the graduations; null where nothing was. */
  readonly reading: Reading | null;
}

export interface Reading {
  readonly scales: readonly ReadScale[];
  readonly plane: ScalePlane | null;
  readonly facingPxPerMm: Measured;
  readonly lengthU: number;
  readonly warnings: readonly string[];
}

const WIDTH = 1500;
const HEIGHT = 1000;
export const SENSOR_MM = 36;
/** What a close-up lens leaves in the corner of the frame, at most (assumed in the budget too). */
const MOST_K1 = 0.003;
/** How high above the skin a scale's graduations lie, at most. */
const MOST_HEIGHT_MM = 2;

parentPort?.on("message", async (seed: number) => parentPort?.postMessage(await caseOf(seed)));

async function caseOf(seed: number): Promise<Case> {
  const random = seededRandom(seed);
  const pick = <T>(from: readonly T[]): T => from[Math.floor(random() * from.length)]!;
  const scale = pick(SCALES);
  const surface = random() < 0.7 ? "flat" : pick(SURFACES.slice(1));
  const isLimb = surface !== "flat";
  const radiusMm = 40 + 50 * random();
  const ratio = 3 + 4 * random();
  const lean = 20 * random() * (random() < 0.15 ? 1.5 : 1);
  const towards = 2 * Math.PI * random();
  const lengthMm = 12 + 28 * random();
  const subject = random() < 0.7 ? "wound" : "lesion";
  const tone = pick<SkinTone>([1, 2, 3, 4, 5, 6]);
  const heightMm = MOST_HEIGHT_MM * random();
  const radialK1 = MOST_K1 * (2 * random() - 1);
  const thing: Thing = {
    kind: subject,
    placement: { xMm: 8 * (random() - 0.5), yMm: 8 * (random() - 0.5), rotateDeg: 360 * random() },
    seed,
    lengthMm,
    widthMm: lengthMm * (0.45 + 0.5 * random()),
  };
  const camera = standardCamera({
    widthPx: WIDTH,
    heightPx: HEIGHT,
    magnification: 1 / ratio,
    focalMm: pick([60, 100, 150]),
    leanXDeg: lean * Math.sin(towards),
    leanYDeg: lean * Math.cos(towards),
    radialK1,
    jpegQuality: 90,
  });
  const scene = standardScene({
    surface: isLimb ? { shape: "cylinder", radiusMm, axisDeg: 90 } : { shape: "plane" },
    skin: standardSkin({ tone, seed }),
    things: [thing, ...scalesOf(scale, lengthMm, heightMm, isLimb)],
  });
  const picture = await renderPicture({ scene, camera, seed });
  const { truth } = picture;
  const grey = greyOf(await decodeBytes(await encodePicture(picture, camera), `seed ${seed}`));
  const found = readScale(grey, { focalMm: camera.focalMm, pixelMm: SENSOR_MM / WIDTH });
  const region = truth.things[0]!.regions[0]!;
  return {
    ...{ seed, scale, surface, radiusMm, subject, tone, ratio, heightMm, radialK1 },
    focalMm: camera.focalMm,
    leanDeg: truth.surface.leanDeg,
    widthPx: WIDTH,
    heightPx: HEIGHT,
    objectDistanceMm: truth.camera.objectDistanceMm,
    homographyMmToPx: truth.surface.homographyMmToPx,
    outlinePx: region.outlinePx,
    outlineMm: region.outlineMm,
    areaMm2: region.areaMm2,
    lengthMm: region.lengthMm,
    widthMm: region.widthMm,
    reading: found.found
      ? {
          scales: found.scales.map((one) => ({ ...one, ticks: [] })),
          plane: found.plane,
          facingPxPerMm: found.facingPxPerMm,
          lengthU: found.lengthU,
          warnings: found.warnings,
        }
      : null,
  };
}

function scalesOf(kind: Case["scale"], lengthMm: number, heightMm: number, isLimb: boolean): Thing[] {
  const clear = lengthMm / 2 + 10;
  const straight = (side: 1 | -1): Thing => ({
    kind: "straight-scale",
    // On a limb the scale lies along its crest, so that it lies flat.
    placement: isLimb
      ? { xMm: 0, yMm: side * (clear + 26), rotateDeg: 90, heightMm }
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
