import type {
  AlignAnswer,
  ColourAnswer,
  LookAnswer,
  PicturePool,
  ScaleAnswer,
  ScaleInput,
} from "@samescale/picture";
import { sameRatio } from "@samescale/picture";
import type { AgainstBaseline, ChartSeen, FrameSeen, Observation } from "@samescale/practice";
import { readingOf } from "../check/reading-of.ts";
import { scalesDisagree } from "../check/scales-agree.ts";
import { type LabelCode, parseLabelCode } from "../intake/label-code.ts";
import type { BaselineFrame } from "./baselines.ts";

/** What is known of a view before its picture is looked at. */
export interface Expected {
  readonly objectDistanceMm: number;
  readonly chart: boolean;
  /** A mirror view; its baseline is one as well. */
  readonly mirrored: boolean;
  readonly baseline: BaselineFrame | null;
}

/** One frame as the bedside sees it, before it is known which view it shows. */
export interface SeenFrame {
  readonly scale: ScaleAnswer;
  readonly look: LookAnswer;
  readonly label: LabelCode | "broken" | null;
  readonly takenAt: string | null;
  /** Which camera took it; null: the file does not say. */
  readonly camera: string | null;
}

/**
 * Reads scale, look, label and what the file says, at once on the pool's threads.
 * @throws SamescaleError those of reading and decoding
 */
export async function seeFrame(
  pool: PicturePool,
  file: string,
  scaleInput: Omit<ScaleInput, "file">,
  signal: AbortSignal,
): Promise<SeenFrame> {
  const [{ scale, look }, labels, info] = await Promise.all([
    pool.run("bedside", { file, ...scaleInput }, signal),
    pool.run("label", { file, quick: true }, signal),
    pool.run("info", { file }, signal),
  ]);
  const ours = labels.codes.map(({ text }) => parseLabelCode(text)).find((code) => code !== null) ?? null;
  const named = [info.make, info.model].filter((word) => word !== null);
  return {
    scale,
    look,
    label: ours,
    takenAt: info.takenAt?.iso ?? null,
    camera: named.length === 0 ? null : named.join(" "),
  };
}

/** Everything that the judge wants to know of it, its view being known. */
export function seenAgainst(
  seen: SeenFrame,
  expected: Expected,
  chart: ColourAnswer | null,
  aligned: AlignAnswer | null,
): FrameSeen {
  return {
    reading: { ...readingOf(seen.scale), ...turnedOver(expected, aligned) },
    look: seen.look,
    chart: expected.chart ? chartSeen(chart) : null,
    baseline: expected.baseline ? against(expected.baseline, seen, aligned) : null,
    observations: [...twoScales(seen, expected), ...againstSkin(seen, expected, aligned)],
  };
}

/** Where nothing is written on the scale, the baseline tells which way round a picture is. */
function turnedOver({ mirrored }: Expected, aligned: AlignAnswer | null): { readonly mirrored?: boolean } {
  return aligned && !aligned.aligned && aligned.mirrored ? { mirrored: !mirrored } : {};
}

function twoScales({ scale }: SeenFrame, { objectDistanceMm }: Expected): Observation[] {
  const disagree = scale.found ? scalesDisagree(scale, objectDistanceMm) : null;
  return disagree === null ? [] : [{ what: "scale-plane", by: "two-scales", heightMm: disagree.heightMm }];
}

/** Below this nobody should move a scale: the thickness of a paper label at arm's length. */
const LEAST_OFFSET = 0.012;

/** The skin's answer to "same ratio?" against the scales': a scale nearer by h shows larger by u/(u - h). */
function againstSkin(
  { scale }: SeenFrame,
  { baseline, objectDistanceMm }: Expected,
  aligned: AlignAnswer | null,
): Observation[] {
  if (!baseline || !aligned?.aligned || aligned.warnings.length > 0) return [];
  const middle = { x: baseline.scale.widthPx / 2, y: baseline.scale.heightPx / 2 };
  const ratio = sameRatio(aligned.homography, middle, baseline.scale, scale);
  if (!ratio || ratio.agree) return [];
  const factor = ratio.byScales.value / ratio.bySkin.value;
  if (Math.abs(Math.log(factor)) < LEAST_OFFSET) return [];
  const relative = Math.hypot(
    ratio.byScales.u95 / ratio.byScales.value,
    ratio.bySkin.u95 / ratio.bySkin.value,
  );
  const heightMm = {
    value: objectDistanceMm * (1 - 1 / factor),
    u95: (objectDistanceMm * relative) / factor,
  };
  return [{ what: "scale-plane", by: "series", heightMm }];
}

function chartSeen(answer: ColourAnswer | null): ChartSeen {
  if (answer === null) return { judged: false, why: "it was not looked for" };
  if (!answer.found) return { judged: false, why: answer.reason };
  const doubtful = answer.judgements.filter((one) => one.doubtful).map(({ say }) => say);
  return { judged: true, usable: doubtful.length === 0, says: doubtful[0] ?? null };
}

function against(baseline: BaselineFrame, seen: SeenFrame, aligned: AlignAnswer | null): AgainstBaseline {
  if (aligned === null) return { judged: false, why: "it was not compared" };
  if (!aligned.aligned) return { judged: false, why: aligned.reason };
  if (aligned.warnings.length > 0) return { judged: false, why: aligned.warnings[0]! };
  const { framing } = aligned;
  if (!framing) return { judged: false, why: "how the camera was held cannot be told from it" };
  const [then, now] = [baseline.look, seen.look];
  return {
    judged: true,
    turnedDeg: framing.cameraTurnedDeg,
    aimedOff: framing.aimedOffFraction,
    seenFromDeg: framing.seenFromDeg,
    lightTurnedDeg:
      then?.light.judged && now.light.judged && tellsApart(then.light, now.light)
        ? turnBetween(then.light.fromDeg + aligned.rotationDeg, now.light.fromDeg)
        : null,
    brighterStops:
      then?.exposure.judged && now.exposure.judged
        ? Math.log2(now.exposure.luminance / then.exposure.luminance)
        : null,
  };
}

/** A light whose side is known to no better than this says nothing of its turning. */
const MOST_U95_DEG = 45;
/** Light from the front has no side: what shading it leaves is the subject's own. */
const LEAST_STOPS = 0.2;
const tellsApart = (
  ...sides: { readonly u95Deg: number; readonly stops: { readonly value: number } }[]
): boolean => sides.every(({ u95Deg, stops }) => u95Deg <= MOST_U95_DEG && stops.value >= LEAST_STOPS);

/** From one direction to another, -180 to 180. */
function turnBetween(fromDeg: number, toDeg: number): number {
  return ((((toDeg - fromDeg + 180) % 360) + 360) % 360) - 180;
}
