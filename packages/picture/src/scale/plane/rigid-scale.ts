import type { Point } from "@samescale/geometry";
import { middleNumber } from "../edge-reading.ts";
import { edgesBeside, type SettledEdge } from "../unit/two-sided.ts";
import { isLabel } from "./label.ts";

/** Edges that belong to one scale: one, the two sides of a ruler, or the two legs of an L. */
export interface RigidScale {
  readonly kind: "straight" | "L" | "label" | "unknown";
  readonly edges: readonly SettledEdge[];
}

/** A picture shows a right angle between these, up to a lean of 45 degrees. */
const RIGHT_ANGLE_COS = 0.45;
/** The legs meet: from the corner to the nearest graduation read, in millimetres (a scale's body is an inch wide). */
const MOST_GAP_MM = 35;
/** Foreshortening of one leg against the other at 45 degrees, with a margin. */
const MOST_FORESHORTENING = 1.6;

/** Broader rulers are rare; two scales on either side of a wound lie further apart. Common practice, no source. */
const MOST_RULER_WIDTH_MM = 45;

/** Sorts edges into scales, in the order given. */
export function rigidScales(edges: readonly SettledEdge[]): RigidScale[] {
  const left = [...edges];
  const scales: RigidScale[] = [];
  const legs = pairsOfLegs(edges);
  while (left.length > 0) {
    const edge = left.shift() as SettledEdge;
    const leg = left.find((other) => other === legs.get(edge));
    const side = leg ? undefined : left.find((other) => areSides(edge, other));
    const other = leg ?? side;
    if (other) left.splice(left.indexOf(other), 1);
    scales.push({ kind: leg ? "L" : kindOf(edge), edges: other ? [edge, other] : [edge] });
  }
  return scales;
}

/** Graph paper is no scale: what it is cut to, and whether it lies flat, is not known. */
function kindOf(edge: SettledEdge): RigidScale["kind"] {
  if (edge.edge.units[0]?.feature === "strength") return "unknown";
  return isLabel(edge) ? "label" : "straight";
}

function areSides(a: SettledEdge, b: SettledEdge): boolean {
  if (isLabel(a) || isLabel(b)) return false; // stuck beside a ruler, not a part of it
  if (a.edge.units[0]?.feature === "strength" || !edgesBeside(a.edge, b.edge)) return false;
  const [[p, q], [r]] = [ends(a), ends(b)];
  const along = unit([p, q]);
  const apartPx = Math.abs((r.x - p.x) * along.y - (r.y - p.y) * along.x);
  return apartPx <= MOST_RULER_WIDTH_MM * Math.min(pxPerMm(a), pxPerMm(b));
}

/** Each edge with the one that it makes an L with; where several would do, those that meet most closely. */
function pairsOfLegs(edges: readonly SettledEdge[]): Map<SettledEdge, SettledEdge> {
  const near = edges.flatMap((a, i) =>
    edges.slice(i + 1).flatMap((b) => {
      const gapMm = gapBetweenLegs(a, b);
      return gapMm === null ? [] : [{ a, b, gapMm }];
    }),
  );
  const legs = new Map<SettledEdge, SettledEdge>();
  for (const { a, b } of near.sort((p, q) => p.gapMm - q.gapMm)) {
    if (!legs.has(a) && !legs.has(b)) legs.set(a, b).set(b, a);
  }
  return legs;
}

/** How far both lie from their common corner, mm; null when they cannot be the legs of an L. */
function gapBetweenLegs(a: SettledEdge, b: SettledEdge): number | null {
  // Lines of graph paper cross as well, and their doubt is their print's.
  if ([a, b].some((e) => e.edge.units[0]?.feature === "strength")) return null;
  const [p, q] = [ends(a), ends(b)];
  const [u, v] = [unit(p), unit(q)];
  const cos = u.x * v.x + u.y * v.y;
  if (Math.abs(cos) > RIGHT_ANGLE_COS) return null;
  const [sa, sb] = [pxPerMm(a), pxPerMm(b)];
  if (Math.max(sa / sb, sb / sa) > MOST_FORESHORTENING) return null;
  // Corner: p0 + t u = q0 + w v.
  const cross = u.x * v.y - u.y * v.x;
  const dx = q[0].x - p[0].x;
  const dy = q[0].y - p[0].y;
  const t = (dx * v.y - dy * v.x) / cross;
  const corner = { x: p[0].x + t * u.x, y: p[0].y + t * u.y };
  const [ga, gb] = [gap(corner, p) / sa, gap(corner, q) / sb];
  return ga < MOST_GAP_MM && gb < MOST_GAP_MM ? ga + gb : null;
}

const gap = (c: Point, [a, b]: readonly [Point, Point]) =>
  Math.min(Math.hypot(c.x - a.x, c.y - a.y), Math.hypot(c.x - b.x, c.y - b.y));

function ends({ edge: { row } }: SettledEdge): readonly [Point, Point] {
  return [row.strip.at(row.graduations[0]!.s, 0), row.strip.at(row.graduations.at(-1)!.s, 0)];
}

function unit([a, b]: readonly [Point, Point]): Point {
  const length = Math.hypot(b.x - a.x, b.y - a.y);
  return { x: (b.x - a.x) / length, y: (b.y - a.y) / length };
}

function pxPerMm({ edge: { row }, division }: SettledEdge): number {
  return Math.abs(row.lattice.spacing(middleNumber(row))) / division.pitchMm;
}
