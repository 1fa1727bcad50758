import type { Point } from "../units.ts";
import { placeInRing } from "./contains.ts";
import { crossingsBetween, selfCrossingsOf } from "./crossings.ts";
import { perimeterOf, type Ring, signedAreaOf } from "./ring.ts";
import { distanceToSegment, type Reshaped, type ReshapeLimits, USUAL_MAX_AREA_CHANGE } from "./simplify.ts";

/** With four samples per sigma the new outline's chords lie within σ / 100 of its arcs wherever those turn slower than σ does. */
const SAMPLES_PER_SIGMA = 4;
/** Beyond four sigma the bell holds 6e-5 of its weight. */
const BELL_REACH = 4;
const MOST_SAMPLES = 20_000;
/** A bell wider than a sixteenth of the way round takes in the far side and loses the shape itself. */
const WIDEST_SIGMA = 1 / 16;
/** Moving the outline out by (missing area / perimeter) leaves a second-order rest; a few rounds take it to rounding. */
const AREA_ROUNDS = 8;
/** How often sigma is halved before the outline is given back as it was. */
const TRIES = 6;

export interface Smoothed extends Reshaped {
  /** The sigma really used: halved where the wanted one broke a bound; 0 when nothing was smoothed. */
  readonly sigmaUsed: number;
}

/**
 * Smooths an outline along its length with a bell of standard deviation `sigma` (unit of the coordinates), then
 * moves it outward along its normals by as much as smoothing shrank it, so that the area stays. A result that
 * crosses itself, comes to cross `keepClearOf`, or changes the area by more than `maxAreaChange` (relative) is thrown
 * away and half the sigma tried; at last the outline comes back as it was. The points are new ones, evenly spaced.
 * Corners are rounded: meant for outlines drawn by hand or traced from pixels, not for rulers.
 */
export function smooth(ring: Ring, sigma: number, limits: ReshapeLimits = {}): Smoothed {
  const untouched: Smoothed = { ring, areaChange: 0, moved: 0, sigmaUsed: 0 };
  const area = signedAreaOf(ring);
  const perimeter = perimeterOf(ring);
  if (ring.length < 3 || !(Math.abs(area) > 0) || !(sigma > 0) || !Number.isFinite(perimeter))
    return untouched;
  if (selfCrossingsOf(ring, 1).length > 0) return untouched;
  const clearOf = limits.keepClearOf ?? [];
  const places = clearOf.map((other) => placeInRing(ring, other[0] ?? { x: NaN, y: NaN }));
  for (let tried = sigma, t = 0; t < TRIES; tried /= 2, t++) {
    if (tried > WIDEST_SIGMA * perimeter) continue;
    const samples = Math.ceil((SAMPLES_PER_SIGMA * perimeter) / tried);
    if (samples > MOST_SAMPLES) break;
    const even = resample(ring, perimeter, samples);
    const smoothed = withArea(blurred(even, (tried * even.length) / perimeter), area);
    if (smoothed === null) continue;
    const areaChange = signedAreaOf(smoothed) / area - 1;
    const isGood =
      Math.abs(areaChange) <= (limits.maxAreaChange ?? USUAL_MAX_AREA_CHANGE) &&
      selfCrossingsOf(smoothed, 1).length === 0 &&
      clearOf.every(
        (other, k) =>
          crossingsBetween(smoothed, other, 1).length === 0 && placeInRing(smoothed, other[0]!) === places[k],
      );
    if (isGood)
      return { ring: smoothed, areaChange, moved: movedBy(ring, perimeter, smoothed), sigmaUsed: tried };
  }
  return untouched;
}

/** `count` points evenly spaced along the ring, from its first point on. */
function resample(ring: Ring, perimeter: number, count: number): Point[] {
  const points: Point[] = [];
  let edge = 0;
  let walked = 0;
  for (let k = 0; k < count; k++) {
    const wanted = (perimeter * k) / count;
    for (;;) {
      const a = ring[edge]!;
      const b = ring[(edge + 1) % ring.length]!;
      const length = Math.hypot(b.x - a.x, b.y - a.y);
      if (walked + length >= wanted || edge === ring.length - 1) {
        const t = length > 0 ? Math.min(1, (wanted - walked) / length) : 0;
        points.push({ x: a.x + t * (b.x - a.x), y: a.y + t * (b.y - a.y) });
        break;
      }
      walked += length;
      edge += 1;
    }
  }
  return points;
}

/** Each point the bell-weighted mean of its neighbours along the ring; `sigma` in samples. */
function blurred(points: readonly Point[], sigma: number): Point[] {
  const n = points.length;
  const reach = Math.min(Math.ceil(BELL_REACH * sigma), n >> 1);
  const weights = Array.from({ length: 2 * reach + 1 }, (_, k) =>
    Math.exp(-0.5 * ((k - reach) / sigma) ** 2),
  );
  const total = weights.reduce((sum, w) => sum + w, 0);
  return points.map((_, i) => {
    let x = 0;
    let y = 0;
    for (let k = -reach; k <= reach; k++) {
      const p = points[(i + k + n) % n]!;
      const w = weights[k + reach]! / total;
      x += w * p.x;
      y += w * p.y;
    }
    return { x, y };
  });
}

/** The ring moved along its normals until it has the area asked for; null where that does not settle. */
function withArea(start: Point[], area: number): Point[] | null {
  let ring = start;
  for (let round = 0; round < AREA_ROUNDS; round++) {
    const missing = area - signedAreaOf(ring);
    if (Math.abs(missing) <= 1e-12 * Math.abs(area)) break;
    const outward = missing / perimeterOf(ring);
    if (!Number.isFinite(outward)) return null;
    ring = ring.map((p, i) => {
      const before = ring[(i + ring.length - 1) % ring.length]!;
      const after = ring[(i + 1) % ring.length]!;
      const [dx, dy] = [after.x - before.x, after.y - before.y];
      const length = Math.hypot(dx, dy);
      return length > 0 ? { x: p.x + (outward * dy) / length, y: p.y - (outward * dx) / length } : p;
    });
  }
  return ring;
}

/**
 * Greatest distance of the old points to the new outline. Each is compared with the stretch that it was
 * blurred into, so the answer is never too small.
 */
function movedBy(ring: Ring, perimeter: number, smoothed: Ring): number {
  const reach = BELL_REACH * SAMPLES_PER_SIGMA;
  const n = smoothed.length;
  let greatest = 0;
  let walked = 0;
  for (let i = 0; i < ring.length; i++) {
    const p = ring[i]!;
    const middle = Math.round((walked / perimeter) * n);
    let nearest = Infinity;
    for (let k = middle - reach; k < middle + reach; k++) {
      nearest = Math.min(nearest, distanceToSegment(p, smoothed[(k + n) % n]!, smoothed[(k + 1 + n) % n]!));
    }
    greatest = Math.max(greatest, nearest);
    const next = ring[(i + 1) % ring.length]!;
    walked += Math.hypot(next.x - p.x, next.y - p.y);
  }
  return greatest;
}
