import { type Limb, type Point, type Region, radiusFromEdges, unrollLimb } from "@samescale/geometry";
import type { XY } from "../answers.ts";
import type { ScaleInForce } from "./scale-in-force.ts";

/**
 * What a person says of the limb that the region lies on: two points on each of its edges, or its middle line and
 * girth. With both, the edges give the middle and the girth the radius.
 */
export interface LimbInPicture {
  readonly edges?: readonly [readonly [XY, XY], readonly [XY, XY]];
  readonly middle?: readonly [XY, XY];
  readonly girthMm?: number;
}

/** A limb as a cylinder in the plane of the scale, which touches its front line. */
export interface KnownLimb {
  readonly limb: Limb;
  /** Standard uncertainties: of the radius, limbs not being round; of where the front line runs. */
  readonly radiusU: number;
  readonly frontUMm: number;
}

/** A limb's section is no circle: its radius of curvature differs by so much from place to place (assumed). */
const ROUNDNESS_U = 0.1;
/** A tape round a limb (assumed). */
const GIRTH_U_MM = 5;
/** Of the radius: how far beside its middle a limb is nearest to the camera (assumed). */
const FRONT_U = 0.05;

/** @returns a reason where what was said makes no limb */
export function knownLimb(said: LimbInPicture, force: ScaleInForce): KnownLimb | { readonly reason: string } {
  const distanceMm = force.view.focalPx / force.pxPerMm;
  const mm = ([x, y]: XY) => force.toMm({ x, y });
  const edges = said.edges?.map((edge) => edge.map(mm) as [Point, Point]) as
    | [[Point, Point], [Point, Point]]
    | undefined;
  const middle = edges ? between(edges) : said.middle?.map(mm);
  if (!middle) return { reason: "A limb needs its two edges, or its middle line and girth." };
  const [p, q] = middle as [Point, Point];
  const length = Math.hypot(q.x - p.x, q.y - p.y);
  if (!(length > 0)) return { reason: "The two points of the limb's line are the same." };
  const along = { x: (q.x - p.x) / length, y: (q.y - p.y) / length };
  const radiusMm = said.girthMm
    ? said.girthMm / (2 * Math.PI)
    : edges && radiusFromEdges(halfWidth(edges, p, along), distanceMm);
  if (!radiusMm) return { reason: "A limb needs its girth where only its middle line is marked." };
  return {
    limb: { front: p, along, radiusMm, distanceMm },
    radiusU: Math.hypot(ROUNDNESS_U, said.girthMm ? GIRTH_U_MM / said.girthMm : 0),
    frontUMm: FRONT_U * radiusMm,
  };
}

/** The line half way between two edges, which may be marked in opposite directions. */
function between([[a, b], [c, d]]: readonly [readonly [Point, Point], readonly [Point, Point]]): [
  Point,
  Point,
] {
  const same = (b.x - a.x) * (d.x - c.x) + (b.y - a.y) * (d.y - c.y) >= 0;
  const [near, far] = same ? [c, d] : [d, c];
  const half = (p: Point, q: Point) => ({ x: (p.x + q.x) / 2, y: (p.y + q.y) / 2 });
  return [half(a, near), half(b, far)];
}

function halfWidth(edges: readonly (readonly [Point, Point])[], on: Point, along: Point): number {
  const distances = edges.flat().map((p) => Math.abs((p.y - on.y) * along.x - (p.x - on.x) * along.y));
  return distances.reduce((sum, d) => sum + d, 0) / distances.length;
}

/** The region as it lies on the skin; null where a part of it lies beyond the limb's visible edge. */
export function onSkin({ outline, holes }: Region, limb: Limb): Region | null {
  const rolled = [outline, ...holes].map((ring) => unrollLimb(ring, limb));
  if (rolled.some((ring) => ring === null)) return null;
  const [first, ...others] = rolled as Point[][];
  return { outline: first!, holes: others };
}

export function moved(limb: Limb, byMm: number): Limb {
  const { front, along } = limb;
  return { ...limb, front: { x: front.x - byMm * along.y, y: front.y + byMm * along.x } };
}
