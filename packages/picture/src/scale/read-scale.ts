import type { Measured } from "@samescale/geometry";
import type { ReadScale, ScalePlane, ScaleTick, XY } from "../answers.ts";
import type { GreyPicture } from "../decode/picture.ts";
import { axisDeg } from "./axis.ts";
import { baseLineOf, feetOf } from "./edge/base-line.ts";
import { edgeScale } from "./edge/edge-scale.ts";
import { type EdgeReading, middleNumber } from "./edge-reading.ts";
import { findEdges } from "./find-edges.ts";
import { letteredEdges } from "./lettered-edges.ts";
import type { MarkerSeen } from "./own-length/codes-beside.ts";
import type { OwnLength } from "./own-length/known-scale.ts";
import { markedEdges, namedScale } from "./own-length/marked-edges.ts";
import { declaredEdges, isFarApart } from "./person/declared-kind.ts";
import type { ScaleKind } from "./person/kinds.ts";
import { nearestScale } from "./person/nearest-scale.ts";
import { readTwoPoints, type TwoPoints } from "./person/two-points.ts";
import { facing } from "./plane/facing.ts";
import { type CameraPrior, type EdgeInPlane, fitPose, type Pose } from "./plane/pose.ts";
import { type RigidScale, rigidScales } from "./plane/rigid-scale.ts";
import { type Level, pyramidOf } from "./search/pyramid.ts";
import { SCALE_TOLERANCE_U, type ScaleMaterial, toleranceU } from "./tolerance.ts";
import { type SettledEdge, settle } from "./unit/two-sided.ts";
import { whyNotFound } from "./why-not.ts";

export interface ReadOptions {
  /** Look round this point of the upright picture only. */
  readonly near?: XY;
  /** Read between these two points instead. */
  readonly twoPoints?: TwoPoints;
  /** What a person says of the scale. */
  readonly kind?: ScaleKind;
  /** What it is made of, as a person says. */
  readonly material?: ScaleMaterial;
  readonly lengths?: ScaleLengths;
  /** Focal length that the file states; else a usual close-up lens is assumed, loosely. */
  readonly focalMm?: number;
  /** Size of one of this picture's pixels on the sensor. */
  readonly pixelMm?: number;
}

/** What is known of the scales in the picture beside what their graduations show. */
export interface ScaleLengths {
  readonly markers: readonly MarkerSeen[];
  /** The scale that a person says was used. */
  readonly named?: string;
  lengthOf(id: string): OwnLength;
}

export interface FoundScales {
  readonly found: true;
  readonly scales: readonly ReadScale[];
  /** Relative standard uncertainty of the scale's own length, the largest of those taken in. */
  readonly lengthU: number;
  readonly plane: ScalePlane | null;
  /**
   * Pixels per millimetre square to the line of sight: at the picture's middle where the plane is known, else at the
   * scale. Times the size of a sensor's pixel this is the reproduction ratio.
   */
  readonly facingPxPerMm: Measured;
  readonly warnings: readonly string[];
}

export type ScaleReading = FoundScales | { readonly found: false; readonly reason: string };

/** Round a point: a quarter of the picture's short side, enough for a scale beside a wound. */
const NEAR_SHARE = 0.25;
/** A plane whose lean is not known better than this is not a plane that the picture determines. */
const MOST_TILT_U95_DEG = 6;
/** Of a frame 36 mm wide: between a phone's and a long close-up lens; hardly known at all. */
const USUAL_FOCAL_WIDTHS = 2.2;
const UNKNOWN_FOCAL_LOG_U = 0.6;
/** Lenses shorten their focal length as they focus close, and round the one they state. */
const STATED_FOCAL_LOG_U = 0.12;

/** Reads every scale in a picture: pixels in, numbers out. */
export function readScale(picture: GreyPicture, options: ReadOptions = {}): ScaleReading {
  if (options.twoPoints) {
    if (![options.twoPoints.from, options.twoPoints.to].every((p) => inside(picture, p))) {
      return {
        found: false,
        reason: `The two points must lie in the picture of ${picture.widthPx} x ${picture.heightPx} px.`,
      };
    }
    return readPoints(picture, options.twoPoints, options);
  }
  return readEdges(picture, seeEdges(picture, options).edges, options);
}

/** Between two points of a person's, on a scale that may be known. */
function readPoints(picture: GreyPicture, points: TwoPoints, { lengths }: ReadOptions): FoundScales {
  const length = lengths?.named === undefined ? null : lengths.lengthOf(lengths.named);
  const { value, u95 } = length?.x ?? { value: 1, u95: (points.toleranceMm ?? 0) / points.lengthMm };
  const { scale, warnings } = readTwoPoints(picture, { ...points, lengthMm: points.lengthMm * value });
  const pxPerMm = { ...scale.pxPerMm, u95: Math.hypot(scale.pxPerMm.u95, u95 * scale.pxPerMm.value) };
  return {
    found: true,
    scales: [{ ...scale, pxPerMm, ...(length && { id: length.id }) }],
    lengthU: Math.hypot(SCALE_TOLERANCE_U, u95 / 2),
    plane: null,
    facingPxPerMm: pxPerMm,
    warnings: [...warnings, ...(length?.warnings ?? [])],
  };
}

/** Rows of graduations, before anything is said of their unit; and the picture in octaves. */
export function seeEdges(
  picture: GreyPicture,
  options: ReadOptions,
): { readonly levels: readonly Level[]; readonly edges: readonly EdgeReading[] } {
  const levels = pyramidOf(picture);
  const found = findEdges(levels, {
    ...nearOption(picture, options),
    farApart: options.kind !== undefined && isFarApart(options.kind),
  });
  const edges = letteredEdges(levels, found);
  return { levels, edges: options.near ? nearestScale(edges, options.near) : edges };
}

/** What the rows of graduations say, with what is known beside them. */
export function readEdges(
  picture: GreyPicture,
  edges: readonly EdgeReading[],
  options: ReadOptions,
): ScaleReading {
  const settled = settledEdges(edges, options);
  const sure = settled.filter((s) => s.sure);
  const used = oneOfEachDirection(sure.length > 0 ? sure : settled);
  if (used.length === 0) return { found: false, reason: whyNotFound(edges, options.kind) };
  const ordered = [...used].sort((a, b) => trust(b) - trust(a));
  const camera = cameraPrior(picture, options, asScale(ordered[0]!, "straight", options).pxPerMm.value);
  const objects = rigidScales(ordered).map((object) => {
    return {
      object,
      pose: fitPose(
        object.edges.map((e) => inPlane(e, object)),
        camera,
      ),
    };
  });
  const planes = objects.filter(({ object, pose }) => object.edges.length > 1 && determined(pose));
  const best = planes.sort((a, b) => a.pose!.tiltDeg.u95 - b.pose!.tiltDeg.u95)[0]?.pose ?? null;
  const scales = objects.flatMap(({ object }) =>
    object.edges.map((edge) => asScale(edge, object.kind, options)),
  );
  const ratio = facing(best, objects[0]!.pose, scales[0]!);
  const apart = largestDifference(
    objects.map(({ object, pose }) => facing(null, pose, asScale(object.edges[0]!, object.kind, options))),
  );
  const warnings = used.flatMap((s) => s.doubts.map((d) => d.says));
  warnings.push(...codesNotUsed(options, used, warnings));
  if (apart > WORTH_SAYING) {
    warnings.push(
      `The scales in the picture differ by ${(100 * apart).toFixed(1)} %: they lie at different heights, or the camera leans.`,
    );
  }
  return {
    found: true,
    scales,
    lengthU: Math.max(...used.map((one) => lengthU(one, options))),
    plane: best && { homographyPxToMm: best.homographyPxToMm, tiltDeg: best.tiltDeg },
    facingPxPerMm:
      apart > WORTH_SAYING ? { value: ratio.value, u95: Math.hypot(ratio.u95, apart * ratio.value) } : ratio,
    warnings: [...new Set(warnings)],
  };
}

/** By their graduations, then by what a person says, then by the code on the scale. */
function settledEdges(edges: readonly EdgeReading[], { kind, lengths }: ReadOptions): SettledEdge[] {
  const settled = kind ? declaredEdges(edges, settle(edges), kind) : settle(edges);
  if (!lengths) return settled;
  const marked = markedEdges(edges, settled, lengths.markers, lengths.lengthOf);
  return lengths.named === undefined ? marked : namedScale(marked, lengths.lengthOf(lengths.named));
}

/** A code that is seen and has no part in the reading must not look as if it had. */
function codesNotUsed({ lengths }: ReadOptions, used: readonly SettledEdge[], said: readonly string[]) {
  const ids = [...new Set(lengths?.markers.map(({ id }) => id))];
  const left = ids.filter(
    (id) => !used.some(({ own }) => own?.id === id) && !said.some((s) => s.includes(id)),
  );
  return left.map(
    (id) => `The code of scale ${id} is seen, but the graduations that were read are not its own.`,
  );
}

/** A grid has many lines that say the same: the best of each direction is kept. */
function oneOfEachDirection(settled: readonly SettledEdge[]): SettledEdge[] {
  const kept: SettledEdge[] = [];
  for (const one of settled) {
    const { strip } = one.edge.row;
    const e = strip.edge(0);
    const known = kept.some(({ edge: { row } }) => {
      const other = row.strip.edge(0);
      return row.strip.open && Math.abs(e.x * other.x + e.y * other.y) > SAME_DIRECTION_COS;
    });
    if (!strip.open || !known) kept.push(one);
  }
  return kept;
}

/** Within 45 degrees. */
const SAME_DIRECTION_COS = Math.SQRT1_2;

/** Two scales that lie level and square agree to this: half a percent of print each, see tolerance.ts. */
const WORTH_SAYING = 0.01;

/** Between scales that are not one rigid piece, relative. */
function largestDifference(scales: readonly Measured[]): number {
  const values = scales.map(({ value }) => value);
  return Math.max(...values) / Math.min(...values) - 1;
}

function inside({ widthPx, heightPx }: GreyPicture, [x, y]: XY): boolean {
  return x >= 0 && y >= 0 && x <= widthPx && y <= heightPx;
}

function nearOption({ widthPx, heightPx }: GreyPicture, { near }: ReadOptions) {
  return near ? { near: { centre: near, radiusPx: NEAR_SHARE * Math.min(widthPx, heightPx) } } : {};
}

/** Image distance v = f (1 + m), from the magnification that the scale itself shows. */
function cameraPrior({ widthPx, heightPx }: GreyPicture, options: ReadOptions, pxPerMm: number): CameraPrior {
  const { focalMm, pixelMm } = options;
  const stated = focalMm && pixelMm ? focalMm / pixelMm : null;
  const focalPx = stated ?? USUAL_FOCAL_WIDTHS * Math.max(widthPx, heightPx);
  const magnification = pixelMm ? pxPerMm * pixelMm : 0;
  return {
    widthPx,
    heightPx,
    focalPx: focalPx * (1 + magnification),
    focalLogU: stated ? STATED_FOCAL_LOG_U : UNKNOWN_FOCAL_LOG_U,
  };
}

/** Which edge is named first: proof by its own graduations, then by its own numerals, then by a neighbour; then the longer. */
function trust({ edge, division, unitFrom }: SettledEdge): number {
  const own = edge.judgement.verdict === "sure" ? 1e6 : 0;
  return own + (unitFrom === "graduations" ? 1e6 : 0) + edge.row.graduations.length * division.pitchMm;
}

function determined(pose: Pose | null): boolean {
  return pose !== null && pose.tiltDeg.u95 <= MOST_TILT_U95_DEG;
}

/** Graduations as the pose wants them: numbered along the plane's axes, which turn as the picture's do. */
function inPlane({ edge, division }: SettledEdge, object: RigidScale): EdgeInPlane {
  const { row } = edge;
  const along = edgeScale(row);
  const first = object.edges[0]!.edge.row;
  const u = first.strip.edge(0);
  const v = row.strip.edge(0);
  const turn = row !== first && object.kind === "L" ? 1 : 0;
  const agrees = turn === 0 ? u.x * v.x + u.y * v.y : u.x * v.y - u.y * v.x;
  // Numbers must grow with the axis; they may fall along the strip as well.
  const grows = Math.sign(row.lattice.spacing(middleNumber(row))) * Math.sign(agrees);
  return {
    feet: feetOf(row, edge.lengths),
    directionU: baseLineOf(row, edge.lengths).slopeU,
    pitchMm: grows * division.pitchMm,
    turn,
    rmsPx: along.rmsPx,
    bends: along.bends,
    // How well the marks' feet make a line goes with their size: bars are about as long as a few pitches.
    pitchPx:
      edge.marks === "bars"
        ? along.spacingPx(middleNumber(row))
        : 0.5 * (row.strip.band[1] - row.strip.band[0]),
  };
}

function lengthU({ edge, division, own }: SettledEdge, { material }: ReadOptions): number {
  return (
    own?.u ??
    toleranceU(material, (edge.row.graduations.at(-1)!.k - edge.row.graduations[0]!.k) * division.pitchMm)
  );
}

function asScale(settled: SettledEdge, kind: RigidScale["kind"], options: ReadOptions): ReadScale {
  const { edge, division, doubts, unitFrom, own } = settled;
  const { row } = edge;
  const { strip, graduations } = row;
  const along = edgeScale(row, edge.marks === "bars" ? edge.lengths : undefined);
  const middle = middleNumber(row);
  const direction = along.direction(middle);
  const pxPerMm = along.spacingPx(middle) / division.pitchMm;
  const u95 = Math.max(
    2 * Math.hypot(along.relativeU(middle), lengthU(settled, options)),
    ...doubts.map((d) => d.u95),
  );
  const ticks = graduations.map(({ k, s }): ScaleTick => {
    return { ...strip.at(s, 0), mm: Math.abs(k - graduations[0]!.k) * division.pitchMm };
  });
  return {
    kind: own?.marker ? "marker" : kind,
    ...(own && { id: own.id }),
    unit: division.unit,
    unitFrom,
    pxPerMm: { value: pxPerMm, u95: u95 * pxPerMm },
    at: strip.at(row.lattice.at(middle), 0),
    axisDeg: axisDeg(direction.x, direction.y),
    ticks,
    coverageMm: (graduations.at(-1)!.k - graduations[0]!.k) * division.pitchMm,
    residualPx: along.rmsPx,
  };
}
