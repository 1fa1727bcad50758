import { HELD_WELL, type HeldCamera } from "./held-camera.ts";
import type { HeldTruth } from "./held-truth.ts";

/** How a task went: what was off, and how far it may be. */
export interface TaskResult {
  readonly isDone: boolean;
  /** The largest share of what is allowed: 1 is just allowed. */
  readonly off: number;
  /** What is furthest off. */
  readonly what: Aim;
}

/** What a task is about, and how far it may be off. */
const ALLOWED = {
  ratioPercent: 1,
  leanDeg: 2,
  blurMm: 0.05,
  exposureStops: 0.3,
  rollDeg: 2,
  aimMm: 3,
  scaleHeightMm: 2,
  scaleTurnDeg: 3,
  glare: 0.5,
} as const;
export type Aim = keyof typeof ALLOWED;

export interface RehearsalTask {
  readonly key: string;
  /** As it is found: somebody held it badly. */
  readonly start: HeldCamera;
  readonly aims: readonly Aim[];
  /** The task is to make this picture again. */
  readonly baseline: HeldCamera | null;
}

/** The ratio that every task plans. */
export const REHEARSAL_RATIO = 0.25;

const BASELINE: HeldCamera = { ...HELD_WELL, rollDeg: 6, aimXMm: 6, aimYMm: -4, scaleXMm: -22 };

export const REHEARSAL_TASKS: readonly RehearsalTask[] = [
  task("ratio", { distanceMm: 540 }, ["ratioPercent"]),
  task("sharp", { ratioSet: 0.25, distanceMm: 440 }, ["blurMm", "ratioPercent"]),
  task("square", { leanDeg: -9, swingDeg: 8 }, ["leanDeg"]),
  task("glare", { light: "one-lamp", lampFromDeg: 220, lampElevationDeg: 80 }, ["glare"]),
  task("exposure", { exposureStops: 1.5 }, ["exposureStops"]),
  task("scale", { scaleHeightMm: 18, scaleTurnDeg: 14 }, ["scaleHeightMm", "scaleTurnDeg"]),
  {
    key: "baseline",
    start: { ...HELD_WELL, distanceMm: 545, leanDeg: 5, rollDeg: -3, aimXMm: -8, aimYMm: 6 },
    aims: ["ratioPercent", "leanDeg", "rollDeg", "aimMm"],
    baseline: BASELINE,
  },
];

function task(key: string, badly: Partial<HeldCamera>, aims: readonly Aim[]): RehearsalTask {
  return { key, start: { ...HELD_WELL, ...badly }, aims, baseline: null };
}

/** How a task went, by what the virtual camera really had. */
export function resultOf({ aims, baseline }: RehearsalTask, held: HeldCamera, truth: HeldTruth): TaskResult {
  const wanted = baseline ?? HELD_WELL;
  const offs: Readonly<Record<Aim, number>> = {
    ratioPercent: 100 * Math.abs(truth.magnification / REHEARSAL_RATIO - 1),
    leanDeg: truth.leanDeg,
    blurMm: truth.blurMm,
    exposureStops: Math.abs(held.exposureStops),
    rollDeg: Math.abs(held.rollDeg - wanted.rollDeg),
    aimMm: Math.hypot(held.aimXMm - wanted.aimXMm, held.aimYMm - wanted.aimYMm),
    scaleHeightMm: held.scaleHeightMm,
    scaleTurnDeg: Math.abs(held.scaleTurnDeg),
    glare: truth.hasGlare ? 1 : 0,
  };
  const worst = aims
    .map((what) => ({ what, off: offs[what] / ALLOWED[what] }))
    .reduce((a, b) => (b.off > a.off ? b : a));
  return { ...worst, isDone: worst.off <= 1 };
}
