import { applyHomography, invertHomography } from "../../packages/geometry/src/index.ts";
import type { ThingTruth, Truth } from "../../packages/simulator/src/index.ts";

type XY = readonly [x: number, y: number];

/** A scale of the picture as seen from one of its places. */
export interface ThingThere {
  readonly thing: ThingTruth;
  readonly pxPerMm: number;
  /** Of a scale that is bent or laid round something it is known from its ticks only, to half a percent or so. */
  readonly exact: boolean;
}

/** Bars and the numerals beside them reach this far from the ticks' own middles. */
const REACH_MM = 12;
const MOST_TURN_DEG = 25;

/** The scale that lies at a place and runs in a direction, with its px/mm there; null where there is none. */
export function scaleThere(truth: Truth, at: { x: number; y: number }, axisDeg: number): ThingThere | null {
  let nearest = Number.POSITIVE_INFINITY;
  let there: ThingThere | null = null;
  for (const thing of truth.things) {
    for (const { ticks } of thing.edges) {
      for (let i = 0; i + 1 < ticks.length; i++) {
        const [a, b] = [ticks[i]!, ticks[i + 1]!];
        const [dx, dy] = [b.px[0] - a.px[0], b.px[1] - a.px[1]];
        const pxPerMm = Math.hypot(dx, dy) / (b.mm - a.mm);
        const distance = Math.hypot((a.px[0] + b.px[0]) / 2 - at.x, (a.px[1] + b.px[1]) / 2 - at.y);
        const reachPx = Math.hypot(dx, dy) + REACH_MM * pxPerMm;
        if (distance >= nearest || distance > reachPx || turnDeg(dx, dy, axisDeg) > MOST_TURN_DEG) continue;
        nearest = distance;
        const exact = planar(truth, thing, at, axisDeg);
        there = { thing, pxPerMm: exact ?? alongTicks(ticks, i, at), exact: exact !== null };
      }
    }
  }
  return there;
}

function turnDeg(dx: number, dy: number, axisDeg: number): number {
  const turn = Math.abs((((Math.atan2(dy, dx) * 180) / Math.PI - axisDeg) % 180) + 180) % 180;
  return Math.min(turn, 180 - turn);
}

type Ticks = ThingTruth["edges"][number]["ticks"];

/** Between the differences across tick i and across the next one, by where the place lies between them. */
function alongTicks(ticks: Ticks, i: number, at: { x: number; y: number }): number {
  const across = (k: number): number => {
    const [a, b] = [ticks[Math.max(0, k - 1)]!, ticks[Math.min(ticks.length - 1, k + 1)]!];
    return Math.hypot(b.px[0] - a.px[0], b.px[1] - a.px[1]) / (b.mm - a.mm);
  };
  const [p, q] = [ticks[i]!.px, ticks[i + 1]!.px];
  const [dx, dy] = [q[0] - p[0], q[1] - p[1]];
  const t = ((at.x - p[0]) * dx + (at.y - p[1]) * dy) / (dx * dx + dy * dy);
  return across(i) + Math.max(0, Math.min(1, t)) * (across(i + 1) - across(i));
}

/** Of a flat scale, exactly; null for one that is bent or laid round something. */
function planar(
  truth: Truth,
  thing: ThingTruth,
  at: { x: number; y: number },
  axisDeg: number,
): number | null {
  if (!thing.homographyMmToPx) return null;
  const toMm = invertHomography(thing.homographyMmToPx);
  const [ux, uy] = [Math.cos((axisDeg * Math.PI) / 180), Math.sin((axisDeg * Math.PI) / 180)];
  const mm = [-0.5, 0.5].map((d) => {
    const [x, y] = undistorted(truth, [at.x + d * ux, at.y + d * uy]);
    return applyHomography(toMm, { x, y });
  });
  return 1 / Math.hypot(mm[1]!.x - mm[0]!.x, mm[1]!.y - mm[0]!.y);
}

/** Solves r (1 + k1 r²) for r, in half-diagonals. */
function undistorted({ camera }: Truth, [x, y]: XY): XY {
  const [cx, cy] = camera.principalPointPx;
  const rd = Math.hypot(x - cx, y - cy) / camera.halfDiagonalPx;
  if (rd === 0) return [x, y];
  let r = rd;
  for (let i = 0; i < 20; i++)
    r -= (r * (1 + camera.radialK1 * r * r) - rd) / (1 + 3 * camera.radialK1 * r * r);
  return [cx + ((x - cx) * r) / rd, cy + ((y - cy) * r) / rd];
}

/**
 * Pixels per millimetre of a flat scale square to the line of sight, at a place of the picture; in the picture's
 * middle when `at` is absent. The columns of the homography are the plane's axes in pixels over its depth.
 */
export function facingPxPerMm(
  truth: Truth,
  { homographyMmToPx: h }: ThingTruth,
  at?: { x: number; y: number },
): number | null {
  if (!h) return null;
  const { focalPx, principalPointPx: c } = truth.camera;
  const place = at ? undistorted(truth, [at.x, at.y]) : c;
  const mm = applyHomography(invertHomography(h), { x: place[0], y: place[1] });
  // First axis as the camera sees it, up to the homography's own factor.
  const axis = [(h[0][0] - c[0] * h[2][0]) / focalPx, (h[1][0] - c[1] * h[2][0]) / focalPx, h[2][0]];
  const depth = (h[2][0] * mm.x + h[2][1] * mm.y + h[2][2]) / Math.hypot(...axis);
  return focalPx / depth;
}
