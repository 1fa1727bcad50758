import type { ReadScale, ScaleTick, XY } from "../answers.ts";
import type { GreyPicture } from "../decode/picture.ts";
import { middleNumber } from "./edge-reading.ts";
import { type EdgeScale, edgeScale } from "./edge-scale.ts";
import { findEdges } from "./find-edges.ts";
import { type SettledEdge, settle } from "./two-sided.ts";

export interface ReadOptions {
  /** Look round this point of the upright picture only. */
  readonly near?: XY;
}

export type ScaleReading =
  | { readonly found: true; readonly scales: readonly ReadScale[]; readonly warnings: readonly string[] }
  | { readonly found: false; readonly reason: string };

/**
 * Standard uncertainty of a scale's own length, relative: 0.1 % for a rigid printed or engraved scale (assumed;
 * forensic scales are asked to keep 0.1 mm over 100 mm, i.e. half of that and less).
 * @source Ferrucci2013
 */
export const SCALE_TOLERANCE_U = 0.001;
/** Round a point: a quarter of the picture's short side, enough for a scale beside a wound. */
const NEAR_SHARE = 0.25;

/** Reads every scale in a picture: pixels in, numbers out. */
export function readScale(picture: GreyPicture, options: ReadOptions = {}): ScaleReading {
  const edges = findEdges(picture, nearOption(picture, options));
  const settled = settle(edges);
  const sure = settled.filter((s) => s.sure);
  const used = sure.length > 0 ? sure : settled;
  if (used.length === 0) {
    const seen = edges.some((e) => e.judgement.verdict === "binary" || (e.units[0]?.score ?? 0) > 18);
    return {
      found: false,
      reason: seen
        ? "Something is divided evenly, but its long bars do not tell the unit. Mark two points whose distance you know."
        : "No ruler's graduations were found. Mark two points whose distance you know.",
    };
  }
  const scales = used.map(asScale).sort((a, b) => a.relative - b.relative);
  const warnings = [...new Set(used.flatMap((s) => s.doubts))];
  return { found: true, scales: scales.map((s) => s.scale), warnings };
}

function nearOption({ widthPx, heightPx }: GreyPicture, { near }: ReadOptions) {
  return near ? { near: { centre: near, radiusPx: NEAR_SHARE * Math.min(widthPx, heightPx) } } : {};
}

function asScale({ edge, division }: SettledEdge): { scale: ReadScale; relative: number } {
  const { row } = edge;
  const { strip, lattice, graduations } = row;
  const along = edgeScale(row);
  const middle = middleNumber(row);
  const at = strip.at(lattice.at(middle), 0);
  const direction = strip.edge(lattice.at(middle));
  const pxPerMm = along.spacingPx(middle) / division.pitchMm;
  const relative = relativeU(along, middle);
  const ticks = graduations.map(({ k, s }): ScaleTick => {
    const p = strip.at(s, 0);
    return { x: p.x, y: p.y, mm: (k - graduations[0]!.k) * division.pitchMm };
  });
  return {
    relative,
    scale: {
      kind: "straight",
      unit: division.unit,
      pxPerMm: { value: pxPerMm, u95: 2 * relative * pxPerMm },
      at,
      axisDeg: axisDeg(direction.x, direction.y),
      ticks,
      coverageMm: (graduations.at(-1)!.k - graduations[0]!.k) * division.pitchMm,
      residualPx: along.rmsPx,
    },
  };
}

/** Relative standard uncertainty of the local px/mm: fit and law, and the scale itself. */
function relativeU(along: EdgeScale, k: number): number {
  return Math.hypot(along.relativeU(k), SCALE_TOLERANCE_U);
}

/** -90 < a <= 90, x right, y down. */
export function axisDeg(x: number, y: number): number {
  const a = (Math.atan2(y, x) * 180) / Math.PI;
  return a > 90 ? a - 180 : a <= -90 ? a + 180 : a;
}
