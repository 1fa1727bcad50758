import { imagePoint, jacobianAt, localScalePxPerMm, type Measured } from "@samescale/geometry";
import {
  type AlignAnswer,
  type Aligned,
  type AlignInput,
  type MatchAnswer,
  type OutlineRegion,
  type OwnRepeats,
  type PicturePool,
  ratioWarnings,
  type ScaleAnswer,
} from "@samescale/picture";
import type { Actor } from "../act/actor.ts";
import { doneOrThrow } from "../act/outcome.ts";
import { storeReading, storeSeries } from "../derivatives/store-derivative.ts";
import type { Desk } from "../desk.ts";
import type { LookedAtFrame } from "../look/frames-of-visit.ts";
import { type MeasuredFrame, measureRegions } from "../measure/measure-frame.ts";
import { correctedReading } from "./corrected-reading.ts";
import { matchColours } from "./match-colours.ts";
import { type ScaleOffset, scaleOffsets } from "./two-answers.ts";

/** One picture of a series, baseline first. */
export interface SeriesMember {
  readonly frame: LookedAtFrame;
  readonly date: string;
  readonly scale: ScaleAnswer;
  readonly readingSha256: string;
  readonly measured: MeasuredFrame | null;
}

export interface ComparedMember extends SeriesMember {
  /** Null for the baseline itself. */
  readonly alignment: AlignAnswer | null;
  readonly offset: ScaleOffset | null;
  /** `measured` brought to the subject's plane where the scale lay out of it. */
  readonly corrected: MeasuredFrame | null;
  /** How its colours are brought to the baseline's; null for the baseline, and where it was not aligned. */
  readonly colour: MatchAnswer | null;
}

const SERIES_RECIPE = { step: "series", version: 2 } as const;

/**
 * Lays every follow-up over the baseline, sets the scale's answer to "same ratio?" beside the skin's, corrects
 * measurements where a scale lay out of the plane, and keeps the series.
 */
export async function compareSeries(
  desk: Desk,
  actor: Actor,
  pool: PicturePool,
  series: {
    readonly requestId: string;
    readonly members: readonly SeriesMember[];
    readonly objectDistanceMm: number;
    readonly ownRepeats?: OwnRepeats | null;
    /** By frame: matched points that a person placed, where the skin gave too little. */
    readonly points?: ReadonlyMap<string, NonNullable<AlignInput["points"]>>;
  },
  signal?: AbortSignal,
): Promise<readonly ComparedMember[]> {
  const [baseline, ...followups] = series.members;
  if (!baseline) return [];
  const baselineFile = await desk.library.originals.localFile(baseline.frame.sha256);
  const alignments: (AlignAnswer | null)[] = [
    null,
    ...(await Promise.all(
      followups.map(async (followup) => {
        const file = await desk.library.originals.localFile(followup.frame.sha256);
        const points = series.points?.get(followup.frame.frameId);
        return await alignSkin(pool, { baseline, followup, baselineFile, file, points }, signal);
      }),
    )),
  ];
  const offsets = scaleOffsets(
    series.members.map((member, i) => ({
      pxPerMmByScale: pxPerMmNearSubject(member),
      pxPerBaselinePx: pxPerBaselinePx(member, alignments[i] ?? null, i === 0),
    })),
    series.objectDistanceMm,
  );

  const compared: ComparedMember[] = [];
  for (const [i, member] of series.members.entries()) {
    const offset = offsets[i] ?? null;
    const corrected = await correct(desk, actor, pool, member, offset, series.ownRepeats ?? null, signal);
    const alignment = alignments[i] ?? null;
    const leftOut = (of: SeriesMember) => of.measured?.regions ?? [];
    const file = await desk.library.originals.localFile(member.frame.sha256);
    const colour = await matchColours(
      pool,
      { file: baselineFile, leftOut: leftOut(baseline) },
      { file, leftOut: leftOut(member), alignment },
      signal,
    );
    compared.push({ ...member, alignment, offset, corrected, colour });
  }
  doneOrThrow(
    await storeSeries(desk, actor, {
      requestId: series.requestId,
      recipe: { ...SERIES_RECIPE, parameters: { objectDistanceMm: series.objectDistanceMm } },
      inputs: compared.flatMap(inputsOf),
      body: { members: compared.map((member) => bodyOf(member, series.points?.get(member.frame.frameId))) },
    }),
  );
  return compared;
}

type Points = NonNullable<AlignInput["points"]> | undefined;

/** By the skin: what was outlined does not count, nor do the scales. By a person's points where there are some. */
async function alignSkin(
  pool: PicturePool,
  pair: {
    baseline: SeriesMember;
    followup: SeriesMember;
    baselineFile: string;
    file: string;
    points: Points;
  },
  signal?: AbortSignal,
): Promise<AlignAnswer> {
  const { baseline, followup } = pair;
  return await pool.run(
    "align",
    {
      baseline: pair.baselineFile,
      followup: pair.file,
      ignoreBaseline: baseline.measured?.regions ?? [],
      ignoreFollowup: followup.measured?.regions ?? [],
      scales: { baseline: baseline.scale, followup: followup.scale },
      ...(pair.points && { points: pair.points }),
    },
    signal,
  );
}

async function correct(
  desk: Desk,
  actor: Actor,
  pool: PicturePool,
  member: SeriesMember,
  offset: ScaleOffset | null,
  ownRepeats: OwnRepeats | null,
  signal?: AbortSignal,
): Promise<MeasuredFrame | null> {
  if (!offset?.stands || !member.measured || !member.scale.found) return null;
  const scale = correctedReading(member.scale, offset.factor, offset.heightMm.value);
  const { file: _, ...body } = scale;
  const { frameId } = member.frame;
  const kept = doneOrThrow(
    await storeReading(desk, actor, { frameId, recipe: scale.recipe, inputs: [member.readingSha256], body }),
  );
  const { regions, outlineSha256 } = member.measured;
  const work = { frame: member.frame, regions, outlineSha256, scale, readingSha256: kept.sha256, ownRepeats };
  return doneOrThrow(await measureRegions(desk, actor, pool, work, signal));
}

/** By the plane at the subject where the picture shows the plane, else at the scale itself. */
function pxPerMmNearSubject(member: SeriesMember): Measured | null {
  if (!member.scale.found) return null;
  const scale = member.scale.scales[0];
  if (!scale) return null;
  const at = subjectOf(member.measured?.regions ?? []);
  if (member.scale.plane === null || at === null) return scale.pxPerMm;
  const value = localScalePxPerMm(member.scale.plane.homographyPxToMm, at).mean;
  return { value, u95: (value * scale.pxPerMm.u95) / scale.pxPerMm.value };
}

function pxPerBaselinePx(
  member: SeriesMember,
  alignment: AlignAnswer | null,
  isBaseline: boolean,
): number | null {
  if (isBaseline) return 1;
  if (alignment === null || !alignment.aligned || isDoubtful(alignment)) return null;
  const at = subjectOf(member.measured?.regions ?? []);
  if (at === null) return alignment.scaleChange;
  const [[a, b], [c, d]] = jacobianAt(alignment.homography, at);
  return 1 / Math.sqrt(Math.abs(a * d - b * c));
}

/** That skin and scale disagree is what the series is about to explain; every other warning stands against the skin's answer. */
function isDoubtful({ warnings, sameRatio }: Aligned): boolean {
  const explained = ratioWarnings(sameRatio ?? null);
  return warnings.some((warning) => !explained.includes(warning));
}

/** The middle of what was outlined. */
function subjectOf(regions: readonly OutlineRegion[]) {
  const points = regions.flatMap((region) => region.outline);
  if (points.length === 0) return null;
  const mean = (axis: 0 | 1) => points.reduce((sum, p) => sum + p[axis], 0) / points.length;
  return imagePoint(mean(0), mean(1));
}

function inputsOf(member: ComparedMember): string[] {
  const counted = member.corrected ?? member.measured;
  return [member.frame.sha256, member.readingSha256, ...(counted ? [counted.measurementSha256] : [])];
}

function colourKept(colour: MatchAnswer | null): object | null {
  if (colour === null || !colour.found) return colour && { found: false, reason: colour.reason };
  const { correction, deltaE00, chain, warnings } = colour;
  return { found: true, relative: true, correction, deltaE00, chain, warnings };
}

function bodyOf(member: ComparedMember, points: Points): object {
  const { alignment } = member;
  const byPoints = points && { points };
  return {
    original: member.frame.sha256,
    date: member.date,
    alignment:
      alignment === null
        ? null
        : alignment.aligned
          ? {
              aligned: true,
              homography: alignment.homography,
              scaleChange: alignment.scaleChange,
              warnings: alignment.warnings,
              framing: alignment.framing && {
                words: alignment.framing.words,
                doNow: alignment.framing.doNow,
              },
              ...byPoints,
            }
          : { aligned: false, reason: alignment.reason, ...byPoints },
    scaleOffset: member.offset,
    colour: colourKept(member.colour),
    areaMm2: (member.corrected ?? member.measured)?.measurement.regions.map((r) => r.areaMm2) ?? null,
  };
}
