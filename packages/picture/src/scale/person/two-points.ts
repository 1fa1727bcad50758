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
}

export interface TwoPointReading {
  readonly scale: ReadScale;
  readonly warnings: readonly string[];
}

/** A point placed by hand on a screen: standard deviation in picture pixels (practice), and part of what is shown. */
const HAND_PX = 1.5;
const HAND_PICTURES = 0.0005;
/** A point belongs to a graduation when it lies nearer than this, in pitches. */
const BELONGS = 0.4;
/** Distances that graduations have; anything else means that a point hit a neighbouring one. */
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
/** Lens and lean between the points leave the mean pitch this near to the usual one. */
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
  for (const { row } of findEdges(pyramidOf(picture), { near: { centre, radiusPx } })) {
    const a = graduationAt(row, from);
    const b = graduationAt(row, to);
    if (a === null || b === null || a === b) continue;
    const pitchMm = points.lengthMm / Math.abs(b - a);
    if (!USUAL_PITCHES_MM.some((usual) => Math.abs(pitchMm / usual - 1) < USUAL)) continue;
    return { scale: scaleOf(row, Math.min(a, b), Math.max(a, b), pitchMm), warnings: [] };
  }
  return null;
}

function graduationAt(row: EdgeReading["row"], p: Point): number | null {
  const k = nearestNumber(row, p.x, p.y);
  const s = row.lattice.at(k);
  const foot = row.strip.at(s, 0);
  const edge = row.strip.edge(s);
  const bar = row.strip.bar(s);
  const pitch = Math.abs(row.lattice.spacing(k));
  // Along the bar a person may point anywhere, also at the end of the longest or at its numeral.
  const cross = edge.x * bar.y - edge.y * bar.x;
  const dx = p.x - foot.x;
  const dy = p.y - foot.y;
  const along = (dx * bar.y - dy * bar.x) / cross;
  const up = (edge.x * dy - edge.y * dx) / cross;
  return Math.abs(along) < BELONGS * pitch && Math.abs(up) < 14 * pitch ? k : null;
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
  const hand = Math.hypot(HAND_PX, HAND_PICTURES * Math.hypot(picture.widthPx, picture.heightPx));
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

const pointOf = ([x, y]: XY): Point => ({ x, y });
