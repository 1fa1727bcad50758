import { alignFiles } from "../../align/align-files.ts";
import type { MatchAnswer } from "../../colour-answers.ts";
import { bytesOfFile } from "../../decode/bytes-of-file.ts";
import { decodeBytes } from "../../decode/decode.ts";
import { MAX_PIXELS, sharp } from "../../decode/sharp.ts";
import type { MatchColourInput } from "../../pool/tasks.ts";
import { burntByCorrection, clippingOf } from "../clipping.ts";
import { described } from "../correction.ts";
import { type DerivedNote, noteInXmp } from "../derived-note.ts";
import { writeCorrected } from "../write-corrected.ts";
import { matchSkin, type SkinMatch } from "./match-skin.ts";
import { skinPlaces } from "./skin-places.ts";

const SIDE_PX = 1600;

/** Fewer places, or a smaller part of the picture, may all lie on what has changed. */
const LEAST_PLACES = 40;
const LEAST_SHARE = 0.05;
/** Two groups of nearly the same strength: nobody can tell which of them is the unchanged skin. */
const MOST_RIVAL = 0.6;
const ODD_RIVAL = 0.3;
const ODD_CHANGED = 0.4;
/** Skin matched under one kind of light stays below 2; above this the places do not follow one correction. */
const POOR_MATCH = 3;
const ODD_BURNT = 0.01;

const RECIPE = { step: "colour", version: 2 } as const;

/**
 * Brings a follow-up to the colours of its baseline by the skin that both show: white balance and exposure, in linear
 * light. Relative: the pictures become comparable, not correct. Refused with a reason where they cannot be laid over each
 * other or share too little skin.
 *
 * @throws SamescaleError those of reading, decoding and `writeCorrected`
 */
export async function matchColourOfFile(input: MatchColourInput): Promise<MatchAnswer> {
  const { file, baseline } = input;
  const refused = (reason: string): MatchAnswer => ({ file, found: false, baseline, reason });
  const [first, second] = [await bytesOfFile(baseline), await bytesOfFile(file)];
  if (first.sha256 === second.sha256) return refused("both files hold the same picture");
  const laid = await laidOver(input);
  if ("reason" in laid) return refused(`the pictures cannot be laid over each other: ${laid.reason}`);
  const base = await decodeBytes(first.bytes, baseline, { maxSidePx: SIDE_PX });
  const follow = await decodeBytes(second.bytes, file, { maxSidePx: SIDE_PX });
  const { places, share } = skinPlaces(base, follow, laid.homography, {
    baseline: input.ignoreBaseline ?? [],
    followup: input.ignoreFollowup ?? [],
  });
  if (places.length < LEAST_PLACES || share < LEAST_SHARE) {
    return refused(
      `too little skin is seen alike in both pictures: ${places.length} places, ${(100 * share).toFixed(0)} % of the baseline`,
    );
  }
  const match = matchSkin(places)!;
  if (match.rival > MOST_RIVAL) {
    return refused(
      "the skin asks for two different corrections about equally: a large part has changed, or the light was mixed; leave the changed part out",
    );
  }
  const correction = described(match.correction);
  const parameters = { by: "baseline", relative: true, homography: laid.homography, correction };
  const recipe = { ...RECIPE, parameters };
  const written =
    input.correctedFile === undefined
      ? null
      : await writeCorrected(
          { file, ...second, others: [first.sha256] },
          match.correction,
          input.correctedFile,
          recipe,
        );
  const { exposureStops, changedShare } = match;
  return {
    file,
    found: true,
    by: "baseline",
    baseline,
    relative: true,
    correction,
    deltaE00: { before: match.before, after: match.after, crossValidated: match.crossValidated },
    exposureStops,
    places: places.length,
    changedShare,
    skinShare: share,
    chain: [
      ...chainOf(await noteOf(first.bytes)),
      "this picture was matched to the baseline on unchanged skin",
    ],
    clipping: clippingOf(follow),
    ...(written ? { corrected: written.corrected } : {}),
    warnings: [
      "relative: comparable with the baseline, not correct",
      ...laid.warnings,
      ...matchWarnings(match, burntByCorrection(follow, match.correction)),
      ...base.warnings.map((warning) => `baseline: ${warning}`),
      ...follow.warnings,
      ...(written?.warnings ?? []),
    ],
    recipe,
  };
}

type Laid =
  | { readonly homography: Homography; readonly warnings: readonly string[] }
  | { readonly reason: string };
type Homography = NonNullable<MatchColourInput["homography"]>;

async function laidOver(input: MatchColourInput): Promise<Laid> {
  if (input.homography) return { homography: input.homography, warnings: [] };
  const { file, baseline, points, ignoreBaseline, ignoreFollowup } = input;
  const laid = await alignFiles({
    baseline,
    followup: file,
    ...(points ? { points } : {}),
    ...(ignoreBaseline ? { ignoreBaseline } : {}),
    ...(ignoreFollowup ? { ignoreFollowup } : {}),
  });
  if (!laid.aligned) return { reason: laid.reason };
  return { homography: laid.homography, warnings: laid.warnings.map((warning) => `laid over: ${warning}`) };
}

function matchWarnings({ rival, changedShare, crossValidated }: SkinMatch, burnt: number): string[] {
  const percent = (share: number) => `${Math.round(100 * share)} %`;
  return [
    ...(rival > ODD_RIVAL
      ? [
          "a second, smaller part of the skin asks for another correction: it has changed, or was lit by another lamp",
        ]
      : []),
    ...(changedShare > ODD_CHANGED
      ? [
          `${percent(changedShare)} of the skin did not follow the rest: look whether the right part was taken for unchanged`,
        ]
      : []),
    ...(crossValidated.mean > POOR_MATCH
      ? [
          `skin that was left out differs by ΔE00 ${crossValidated.mean.toFixed(1)} on average: the two pictures were lit differently`,
        ]
      : []),
    ...(burnt > ODD_BURNT ? [`the correction burns out ${(100 * burnt).toFixed(1)} % of the picture`] : []),
  ];
}

/** What a corrected picture of ours says of itself. Formats whose metadata the library does not read say nothing. */
async function noteOf(bytes: Buffer): Promise<DerivedNote | null> {
  try {
    const { xmp } = await sharp(bytes, { limitInputPixels: MAX_PIXELS }).metadata();
    return xmp ? noteInXmp(xmp.toString("utf8")) : null;
  } catch {
    return null;
  }
}

/** What the baseline's colours rest on, first things first. */
function chainOf(note: DerivedNote | null): string[] {
  if (!note) return ["the baseline's own colours are as its file has them: no correction is recorded in it"];
  const { by, edition } = note.recipe.parameters;
  const said =
    by === "chart"
      ? `the baseline was corrected by its colour chart (values: ${String(edition)})`
      : by === "grey-card"
        ? "the baseline was corrected by a grey card: white balance and exposure only"
        : "the baseline was itself matched to an earlier picture";
  return [...(note.before ? chainOf(note.before) : []), said];
}
