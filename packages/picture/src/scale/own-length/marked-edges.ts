import type { Point } from "@samescale/geometry";
import { type MarkerEdge, markerDesign } from "@samescale/marker";
import type { EdgeReading } from "../edge-reading.ts";
import { MILLIMETRES } from "../unit/hierarchy.ts";
import type { SettledEdge } from "../unit/two-sided.ts";
import type { MarkerSeen } from "./codes-beside.ts";
import { type OwnLength, told } from "./known-scale.ts";

/** From corners read to a pixel, and perspective over the code's length, logarithmic. */
const MOST_DIFFERENCE = 0.12;
/** Sine of the angle between the code's side and the row. */
const MOST_TURN = 0.2;
/** How far off its place by the code a graduation may lie: so many mm, and this share of its distance from the code. */
const MOST_ACROSS_MM = 4;
const MOST_ALONG_MM = 4;
const MOST_OFF_SHARE = 0.08;
/** Something beyond the last tick may have been taken for more of them. */
const MOST_OF = 0.7;
/** Bars of one length that lie where the code says. */
const FEWEST = 10;

/**
 * Edges of our own scales by their codes: the code says which design it is and how large, and so what the graduations
 * stand for; the record says how long that is. Graduations that beyond doubt say otherwise win, with a warning.
 */
export function markedEdges(
  edges: readonly EdgeReading[],
  settled: readonly SettledEdge[],
  markers: readonly MarkerSeen[],
  lengthOf: (id: string) => OwnLength,
): SettledEdge[] {
  const marked = new Map<EdgeReading, SettledEdge>(settled.map((one) => [one.edge, one]));
  for (const marker of markers) {
    for (const edge of edges) {
      const place = placeOn(edge, marker);
      if (!place) continue;
      const before = marked.get(edge);
      if (before?.own) continue;
      const after = proved(edge, before, marker, place, lengthOf(marker.id));
      if (after) marked.set(edge, after);
    }
  }
  return [...marked.values()];
}

interface Place {
  readonly axis: "x" | "y";
  /** Pixels of one graduation, and of a millimetre by the code, where the row comes nearest to the code. */
  readonly spacingPx: number;
  readonly codePxPerMm: number;
}

/** Where on the marker's design a row lies; null when it is no row of it. */
function placeOn({ row, marks }: EdgeReading, marker: MarkerSeen): Place | null {
  if (marks !== "bars" || row.graduations.length < FEWEST) return null;
  const { edges, code } = markerDesign(marker.kind, marker.id);
  const frame = frameOf(marker, code.sizeMm);
  const onDesign = (p: Point) => {
    const { x, y } = frame.toMm(p);
    return { x: code.x + x, y: code.y + y };
  };
  const { strip, lattice } = row;
  const graduations = row.graduations.map(({ k, s }) => {
    const at = onDesign(strip.at(s, 0));
    const fromCode = Math.hypot(at.x - code.x - code.sizeMm / 2, at.y - code.y - code.sizeMm / 2);
    return { k, s, at, fromCode };
  });
  graduations.sort((a, b) => a.fromCode - b.fromCode);
  for (const { axis, lengthMm, ticks } of edges) {
    const side = axis === "x" ? frame.ex : frame.ey;
    const codePxPerMm = Math.hypot(side.x, side.y);
    const across = middleOf(axis, ticks);
    const onEdge = graduations.filter(({ s, at, fromCode }) => {
      const [place, off] = axis === "x" ? [at.x, at.y - across] : [at.y, at.x - across];
      const share = MOST_OFF_SHARE * fromCode;
      const along = strip.edge(s);
      const sine = Math.abs(side.x * along.y - side.y * along.x) / codePxPerMm;
      const inLine = sine <= MOST_TURN && Math.abs(off) <= MOST_ACROSS_MM + share;
      return inLine && place >= -MOST_ALONG_MM - share && place <= lengthMm + MOST_ALONG_MM + share;
    });
    if (onEdge.length < MOST_OF * graduations.length) continue;
    return { axis, spacingPx: Math.abs(lattice.spacing(onEdge[0]!.k)), codePxPerMm };
  }
  return null;
}

/** Across the edge: the middle of the part that all ticks share. */
function middleOf(axis: "x" | "y", ticks: MarkerEdge["ticks"]): number {
  const { bar } = ticks.find(({ rank }) => rank === 0)!;
  return axis === "x" ? (bar.y0 + bar.y1) / 2 : (bar.x0 + bar.x1) / 2;
}

/** The code's sides as axes, pixels a millimetre; millimetres count from its top left corner. */
function frameOf({ corners: [tl, tr, br, bl] }: MarkerSeen, sizeMm: number) {
  const side = (a: readonly number[], b: readonly number[], c: readonly number[], d: readonly number[]) => ({
    x: (b[0]! - a[0]! + d[0]! - c[0]!) / 2 / sizeMm,
    y: (b[1]! - a[1]! + d[1]! - c[1]!) / 2 / sizeMm,
  });
  const ex = side(tl, tr, bl, br);
  const ey = side(tl, bl, tr, br);
  const cross = ex.x * ey.y - ex.y * ey.x;
  const toMm = ({ x, y }: Point): Point => {
    const [u, v] = [x - tl[0], y - tl[1]];
    return { x: (u * ey.y - v * ey.x) / cross, y: (ex.x * v - ex.y * u) / cross };
  };
  return { ex, ey, toMm };
}

function proved(
  edge: EdgeReading,
  before: SettledEdge | undefined,
  { id, mirrored }: MarkerSeen,
  { axis, spacingPx, codePxPerMm }: Place,
  length: OwnLength,
): SettledEdge | null {
  const pitchMm = MILLIMETRES.pitchMm;
  const fits = Math.abs(Math.log(spacingPx / pitchMm / codePxPerMm)) < MOST_DIFFERENCE;
  const isSaid = before?.division.unit === "mm" && before.division.pitchMm === pitchMm;
  const division = !fits || (before?.sure && !isSaid) ? null : isSaid ? before.division : MILLIMETRES;
  if (!division) {
    if (!before) return null;
    const says = `The code of scale ${id} and the graduations beside it contradict each other: the code was not used.`;
    return { ...before, doubts: [...before.doubts, ...told([says])] };
  }
  const says = mirrored
    ? ["The scale's code is mirrored: the picture was taken in a mirror, or flipped."]
    : [];
  // What numerals could settle, the code has settled.
  const left = (before?.doubts ?? edge.judgement.doubts).filter((doubt) => doubt.about === undefined);
  const { value, u95 } = length[axis];
  return {
    edge,
    division: { ...division, pitchMm: pitchMm * value },
    sure: left.length === 0,
    doubts: [...left, ...told([...says, ...length.warnings])],
    unitFrom: before?.unitFrom === "person" ? "person" : "code",
    own: { id, marker: true, u: u95 / 2 },
  };
}

/** Edges without a code, on the one scale that a person says was used. */
export function namedScale(settled: readonly SettledEdge[], length: OwnLength): SettledEdge[] {
  const others = settled.flatMap(({ own }) => (own && own.id !== length.id ? [own.id] : []));
  const says = [...new Set(others)].map(
    (id) => `You named scale ${length.id}, but the code of ${id} is seen.`,
  );
  return settled.map((one) => {
    if (one.own) return { ...one, doubts: [...one.doubts, ...told(says)] };
    return {
      ...one,
      division: { ...one.division, pitchMm: one.division.pitchMm * length.x.value },
      doubts: [...one.doubts, ...told(length.warnings)],
      own: { id: length.id, marker: false, u: length.x.u95 / 2 },
    };
  });
}
