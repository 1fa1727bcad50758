import type { Point } from "@samescale/geometry";
import type { ReadScale, ScaleTick, XY } from "../../answers.ts";
import type { GreyPicture } from "../../decode/picture.ts";
import { axisDeg } from "../axis.ts";
import { edgeScale } from "../edge/edge-scale.ts";
import { type EdgeReading, nearestNumber } from "../edge-reading.ts";
import { findEdges } from "../find-edges.ts";
import { pyramidOf } from "../search/pyramid.ts";
import { SCALE_TOLERANCE_U } from "../tolerance.ts";
import { snapToMark } from "./snap.ts";

/** A person's two points on a scale and the length between them. */
export interface TwoPoints {
  readonly from: XY;
  readonly to: XY;
  readonly lengthMm: number;
  /** Half the 95 % interval of that length; left out: as true as a printed scale. */
  readonly toleranceMm?: number;
}

export interface TwoPointReading {
  readonly scale: ReadScale;
  readonly warnings: readonly string[];
}

/** A point placed by hand on a screen: standard deviation in picture pixels (practice), and part of what is shown. */
const HAND_PX = 1.5;
const HAND_PICTURES = 0.0005;
/** A point belongs to a graduation when it lies nearer than this, in pitches; to another, a point placed in a hurry may. */
const BELONGS = 0.4;
const HURRIED_PX = 12;
/** Distances that graduations have; with any other a point hit a neighbouring one. */
const USUAL_PITCHES_MM = [
  0.5,
  1,
  2,
  5,
  10,
  25.4 / 64,
  25.4 / 32,
  25.4 / 16,
  25.4 / 10,
  25.4 / 8,
  25.4 / 4,
  25.4 / 2,
  25.4,
];
/** A length that was measured differs from the one printed by less. */
const USUAL = 0.01;

/** The scale between two points that a person marked, refined to graduations where there are some. */
export function readTwoPoints(picture: GreyPicture, points: TwoPoints): TwoPointReading {
  return onGraduations(picture, points) ?? onMarks(picture, points);
}

/** Both points on graduations of one row: the row's lattice counts for more than the two points. */
function onGraduations(picture: GreyPicture, points: TwoPoints): TwoPointReading | null {
  const [from, to] = [pointOf(points.from), pointOf(points.to)];
  const centre: XY = [(from.x + to.x) / 2, (from.y + to.y) / 2];
  const radiusPx = Math.hypot(to.x - from.x, to.y - from.y) / 2 + 64;
  const reachPx = Math.max(HURRIED_PX, 3 * handPx(picture));
  for (const { row } of findEdges(pyramidOf(picture), { near: { centre, radiusPx } })) {
    const pair = pairOf(graduationsAt(row, from, reachPx), graduationsAt(row, to, reachPx), points.lengthMm);
    if (!pair) continue;
    const [first, last] = [Math.min(pair.a.k, pair.b.k), Math.max(pair.a.k, pair.b.k)];
    const movedPx = Math.max(Math.abs(pair.a.offPx), Math.abs(pair.b.offPx));
    const pitchPx = Math.abs(row.lattice.spacing((first + last) / 2));
    const warnings =
      movedPx < BELONGS * pitchPx
        ? []
        : [
            `Your points were moved by up to ${movedPx.toFixed(0)} px, to the graduations that lie ${points.lengthMm} mm apart: compare them with the scale.`,
          ];
    return { scale: scaleOf(row, first, last, points.lengthMm / (last - first)), warnings };
  }
  return null;
}

interface Touched {
  readonly k: number;
  /** From the graduation to the point, along the edge. */
  readonly offPx: number;
}

/** The graduations that a person may have meant, nearest first. */
function graduationsAt(row: EdgeReading["row"], p: Point, reachPx: number): Touched[] {
  const nearest = nearestNumber(row, p.x, p.y);
  const s = row.lattice.at(nearest);
  const foot = row.strip.at(s, 0);
  const edge = row.strip.edge(s);
  const bar = row.strip.bar(s);
  const pitch = Math.abs(row.lattice.spacing(nearest));
  // Along the bar a person may point anywhere, also at the end of the longest or at its numeral.
  const cross = edge.x * bar.y - edge.y * bar.x;
  const dx = p.x - foot.x;
  const dy = p.y - foot.y;
  const along = (dx * bar.y - dy * bar.x) / cross;
  const up = (edge.x * dy - edge.y * dx) / cross;
  if (Math.abs(up) > Math.max(14 * pitch, reachPx)) return [];
  const reach = Math.max(BELONGS * pitch, reachPx);
  return row.graduations
    .map(({ k }) => ({ k, offPx: along - (row.lattice.at(k) - s) }))
    .filter(({ offPx }) => Math.abs(offPx) <= reach)
    .sort((a, b) => Math.abs(a.offPx) - Math.abs(b.offPx));
}

/** The pair nearest to the points that lies a whole number of usual graduations apart, as long as the person says. */
function pairOf(froms: readonly Touched[], tos: readonly Touched[], lengthMm: number) {
  let best: { readonly a: Touched; readonly b: Touched; readonly moved: number } | null = null;
  for (const a of froms) {
    for (const b of tos) {
      const moved = a.offPx ** 2 + b.offPx ** 2;
      if (isUsual(lengthMm, Math.abs(b.k - a.k)) && !(best && best.moved <= moved)) best = { a, b, moved };
    }
  }
  return best;
}

function isUsual(lengthMm: number, count: number): boolean {
  return USUAL_PITCHES_MM.some((usual) => {
    const wanted = lengthMm / usual;
    return count > 0 && Math.round(wanted) === count && Math.abs(wanted / count - 1) < USUAL;
  });
}

function scaleOf(row: EdgeReading["row"], first: number, last: number, pitchMm: number): ReadScale {
  const along = edgeScale(row);
  const middle = (first + last) / 2;
  const s = row.lattice.at(middle);
  const direction = row.strip.edge(s);
  const value = along.spacingPx(middle) / pitchMm;
  const used = row.graduations.filter(({ k }) => k >= first && k <= last);
  return {
    kind: "straight",
    unit: USUAL_PITCHES_MM.slice(0, 5).some((usual) => Math.abs(pitchMm / usual - 1) < USUAL) ? "mm" : "inch",
    unitFrom: "person",
    pxPerMm: { value, u95: 2 * Math.hypot(along.relativeU(middle), SCALE_TOLERANCE_U) * value },
    at: row.strip.at(s, 0),
    axisDeg: axisDeg(direction.x, direction.y),
    ticks: used.map((g): ScaleTick => ({ ...row.strip.at(g.s, 0), mm: (g.k - first) * pitchMm })),
    coverageMm: (last - first) * pitchMm,
    residualPx: along.rmsPx,
  };
}

/** The points themselves, each moved to the mark under it where there is one. */
function onMarks(picture: GreyPicture, points: TwoPoints): TwoPointReading {
  const [from, to] = [pointOf(points.from), pointOf(points.to)];
  const hand = handPx(picture);
  const a = snapToMark(picture, from, to, 3 * hand);
  const b = snapToMark(picture, to, from, 3 * hand);
  const refined = a !== null && b !== null && a.kind === b.kind;
  const [p, q] = refined ? [a.at, b.at] : [from, to];
  const u = refined ? Math.hypot(a.u, b.u) : Math.SQRT2 * hand;
  const length = Math.hypot(q.x - p.x, q.y - p.y);
  const value = length / points.lengthMm;
  return {
    scale: {
      kind: "unknown",
      unit: "mm",
      unitFrom: "person",
      pxPerMm: { value, u95: 2 * Math.hypot(u / length, SCALE_TOLERANCE_U) * value },
      at: { x: (p.x + q.x) / 2, y: (p.y + q.y) / 2 },
      axisDeg: axisDeg(q.x - p.x, q.y - p.y),
      ticks: [
        { ...p, mm: 0 },
        { ...q, mm: points.lengthMm },
      ],
      coverageMm: points.lengthMm,
      residualPx: 0,
    },
    warnings: [
      refined
        ? "Read between your two points, moved to the marks under them: perspective between them is not seen."
        : "Read between your two points as you placed them: no graduations were found there.",
    ],
  };
}

function handPx({ widthPx, heightPx }: GreyPicture): number {
  return Math.hypot(HAND_PX, HAND_PICTURES * Math.hypot(widthPx, heightPx));
}

const pointOf = ([x, y]: XY): Point => ({ x, y });
