import type { Point, Region, Vector3 } from "@samescale/geometry";
import { pxPerUnit, type ScaleInForce, type WeighedScale } from "./scale-in-force.ts";
import { FIGURES, type Figure, POWERS, shapeOf } from "./shape.ts";
import { leaned, onPlane, type PlaneView } from "./view.ts";

/**
 * Without a plane the camera may lean by up to this much, every angle alike: a person who tries to stand
 * square on does not lean further, and beyond it foreshortening is seen.
 */
export const LARGEST_LEAN_DEG = 20;
const ANGLES = 5;
const DIRECTIONS = 12;
/** The effect is smooth: a few points of the outline tell it. */
const MOST_POINTS = 64;
/** Two scales seldom lie at the same height: 2 mm at 400 mm. */
const HEIGHT_DIFFERENCE_U = 0.005;

interface Lean {
  readonly normal: Vector3;
  readonly weight: number;
}

/**
 * Relative standard uncertainty that the lean of the camera leaves in each figure: the root mean square of what
 * the figures would change by, over the leans that are possible, each with the scales read as they are.
 */
export function leanEffect(
  force: ScaleInForce,
  region: Region,
  axis: readonly [Point, Point] | null,
): Record<Figure, number> {
  const few = { outline: thinned(region.outline), holes: region.holes.map(thinned) };
  const { view, scales } = force;
  const nominal = figuresAt(view, view.normal, scales, few, axis);
  const sums = byFigure(() => 0);
  let weights = 0;
  for (const { normal, weight } of possibleLeans(force)) {
    const other = nominal && figuresAt(view, normal, scales, few, axis);
    if (!other) continue;
    weights += weight;
    for (const f of FIGURES) if (nominal[f] > 0) sums[f] += weight * Math.log(other[f] / nominal[f]) ** 2;
  }
  return byFigure((f) => (weights > 0 ? Math.sqrt(sums[f] / weights) : 1));
}

const byFigure = (f: (figure: Figure) => number): Record<Figure, number> =>
  Object.fromEntries(FIGURES.map((figure) => [figure, f(figure)])) as Record<Figure, number>;

function possibleLeans({ view, scales, leanURad }: ScaleInForce): Lean[] {
  const directions = Array.from({ length: DIRECTIONS }, (_, k) => (2 * Math.PI * k) / DIRECTIONS);
  if (leanURad !== null) {
    // At √2 u all round, each of the two components of the lean has the variance u².
    const angle = Math.SQRT2 * leanURad;
    return directions.map((d) => ({ normal: leaned(view.normal, angle, d), weight: 1 }));
  }
  const leans: Lean[] = [];
  for (let k = 0; k < ANGLES; k++) {
    const angle = (((k + 0.5) / ANGLES) * LARGEST_LEAN_DEG * Math.PI) / 180;
    for (const d of directions) {
      const normal = leaned(view.normal, angle, d);
      leans.push({ normal, weight: likelihood(view, normal, scales) });
    }
  }
  return leans;
}

/** How well a lean explains that several scales read differently; 1 for a single scale. */
function likelihood(view: PlaneView, normal: Vector3, scales: readonly WeighedScale[]): number {
  const first = scales[0]!.scale;
  const firstSeen = pxPerUnit(view, normal, first);
  let chi2 = 0;
  for (const { scale } of scales.slice(1)) {
    const seen = pxPerUnit(view, normal, scale);
    if (seen === null || firstSeen === null) return 0;
    const u = Math.hypot(
      scale.pxPerMm.u95 / 2 / scale.pxPerMm.value,
      first.pxPerMm.u95 / 2 / first.pxPerMm.value,
      HEIGHT_DIFFERENCE_U,
    );
    const difference = Math.log(scale.pxPerMm.value / first.pxPerMm.value) - Math.log(seen / firstSeen);
    chi2 += (difference / u) ** 2;
  }
  // The floor keeps a sum to divide by where no lean explains the readings; the disagreement itself is in the budget.
  return Math.exp(-0.5 * chi2) + 1e-12;
}

/** The figures in mm, were the plane's normal this one and the scales as they were read. */
function figuresAt(
  view: PlaneView,
  normal: Vector3,
  scales: readonly WeighedScale[],
  region: Region,
  axis: readonly [Point, Point] | null,
): Record<Figure, number> | null {
  const place = (ring: readonly Point[]) => onPlane({ ...view, normal }, ring);
  const outline = place(region.outline);
  const holes = region.holes.map(place);
  if (!outline || holes.some((hole) => hole === null)) return null;
  let logMmPerUnit = 0;
  for (const { scale, weight } of scales) {
    const seen = pxPerUnit(view, normal, scale);
    if (seen === null) return null;
    logMmPerUnit += weight * Math.log(seen / scale.pxPerMm.value);
  }
  const mm = Math.exp(logMmPerUnit);
  const onAxis = axis && (place(axis) as [Point, Point] | null);
  const shape = shapeOf({ outline, holes: holes as Point[][] }, 0, onAxis);
  return byFigure((f) => shape[f] * mm ** POWERS[f]);
}

function thinned(ring: readonly Point[]): readonly Point[] {
  const stride = Math.max(1, Math.ceil(ring.length / MOST_POINTS));
  return ring.filter((_, i) => i % stride === 0);
}
