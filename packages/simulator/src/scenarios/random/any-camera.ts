import { type Camera, standardCamera } from "../../camera/camera.ts";
import type { Draw } from "./draw.ts";

/** What may go wrong between the scale and the file. */
export const CONDITIONS = [
  "glare",
  "worn",
  "hair",
  "blood",
  "finger",
  "faint",
  "defocus",
  "motion",
  "strong JPEG",
  "noise",
  "distortion",
  "bowed",
  "curved limb",
] as const;
export type Condition = (typeof CONDITIONS)[number];

/** Four in ten pictures suffer from nothing, as many from one thing, the rest from two. */
export function anyConditions(draw: Draw): Condition[] {
  const count = draw.weighted([
    [4, 0],
    [4, 1],
    [2, 2],
  ] as const);
  const drawn = new Set<Condition>();
  while (drawn.size < count) drawn.add(draw.pick(CONDITIONS));
  return [...drawn];
}

export type Frame = Pick<Camera, "widthPx" | "heightPx" | "sensorMm">;

const SIZES: readonly (readonly [weight: number, frame: Frame])[] = [
  [7, { widthPx: 1500, heightPx: 1000, sensorMm: { width: 36, height: 24 } }],
  [1.5, { widthPx: 800, heightPx: 600, sensorMm: { width: 17.3, height: 12.975 } }],
  [1.5, { widthPx: 2400, heightPx: 1600, sensorMm: { width: 22.5, height: 15 } }],
];

export const anyFrame = (draw: Draw): Frame => draw.weighted(SIZES);

/** Steeper than this no photographer leans. */
export const MOST_LEAN_DEG = 45;

export interface Wanted {
  readonly frame: Frame;
  readonly pxPerMm: number;
  /** Distance of the finest graduations: blur is kept to a part of it, as nobody could read on beyond. */
  readonly pitchMm: number;
  /** Length over which the scale must be sharp when the camera leans. */
  readonly lengthMm: number;
  readonly conditions: readonly Condition[];
}

/** Blur over the finest pitch. */
const MOST_DEFOCUS = 0.6;
const MOST_MOTION = 0.4;
/** At the ends of a leaning scale a careful photographer has stopped down to this. */
const MOST_END_BLUR = 0.7;

/** A camera that shows `pxPerMm` at the target, held anyhow. */
export function anyCamera(draw: Draw, { frame, pxPerMm, pitchMm, lengthMm, conditions }: Wanted): Camera {
  const has = (condition: Condition): boolean => conditions.includes(condition);
  const magnification = (pxPerMm * frame.sensorMm.width) / frame.widthPx;
  const focalMm = (draw.pick([35, 60, 100, 150]) * frame.sensorMm.width) / 36;
  const lean = draw.weighted([
    [3, 0],
    [8, draw.between(2, 20)],
    [5, draw.between(20, 35)],
    [3, draw.between(35, MOST_LEAN_DEG)],
  ] as const);
  const towards = draw.between(0, 2 * Math.PI);
  const pitchPx = pitchMm * pxPerMm;
  const objectMm = focalMm * (1 + 1 / magnification);
  // A disc of b px at distance d from the plane of focus: b = A m d / ((u + d) pixel size).
  const pixelMm = frame.sensorMm.width / frame.widthPx;
  const endMm = 0.5 * lengthMm * Math.sin((lean * Math.PI) / 180);
  const apertureMm =
    endMm > 0 ? (MOST_END_BLUR * pitchPx * pixelMm * (objectMm + endMm)) / (magnification * endMm) : Infinity;
  const fNumber = Math.min(32, Math.max(draw.between(5.6, 16), focalMm / apertureMm));
  const blurPx = has("defocus") ? draw.between(0.3, MOST_DEFOCUS) * pitchPx : 0;
  const perMm = (focalMm / fNumber) * magnification - blurPx * pixelMm;
  const offset = perMm > 0 ? (blurPx * pixelMm * objectMm) / perMm : 0;
  return standardCamera({
    ...frame,
    magnification,
    focalMm,
    fNumber,
    focusOffsetMm: (draw.chance(0.5) ? 1 : -1) * Math.min(offset, 0.4 * objectMm),
    leanXDeg: lean * Math.sin(towards),
    leanYDeg: lean * Math.cos(towards),
    rollDeg: draw.chance(0.6) ? draw.between(-8, 8) : draw.between(-180, 180),
    motion: {
      lengthPx: has("motion") ? draw.between(0.2, MOST_MOTION) * pitchPx : 0,
      directionDeg: draw.between(0, 360),
    },
    radialK1: has("distortion") ? draw.between(-0.03, 0.02) : 0,
    vignetting: draw.between(0.5, 1.5),
    exposureStops: draw.between(-0.8, 0.4),
    iso: has("noise") ? 12800 : 400,
    noiseLevel: has("noise") ? draw.between(1, 3) : draw.between(0.5, 1.5),
    sharpen: draw.between(0, 0.8),
    jpegQuality: Math.round(has("strong JPEG") ? draw.between(40, 60) : draw.between(60, 95)),
  });
}
