import { composeHomographies, type Matrix3 } from "@samescale/geometry";
import type { AlignAnswer, Bending, OutlineRegion, ScaleAnswer } from "../answers.ts";
import { bytesOfFile } from "../decode/bytes-of-file.ts";
import { type DecodedPicture, decodeBytes, greyOf } from "../decode/decode.ts";
import { infoOfFile } from "../info/info-of-file.ts";
import type { AlignInput } from "../pool/tasks.ts";
import { sensorPitch } from "../scale/sensor-pitch.ts";
import { alignPictures } from "./align-pictures.ts";
import { scaledBending } from "./bending.ts";
import { describe, movementWarnings } from "./describe.ts";
import type { MapKind } from "./fit-map.ts";
import { type FramedPicture, framingOf } from "./framing.ts";
import { mapFromPoints } from "./from-points.ts";
import { ratioWarnings, sameRatio } from "./same-ratio.ts";
import { scaleRegions } from "./scale-regions.ts";
import { FINE_SIDE_PX, type LeftOut } from "./work-picture.ts";

const RECIPE = { step: "align", version: 2 } as const;

/** Enough to tell how the camera was held. */
const QUICK_SIDE_PX = 700;

/** Between these the two pictures still show the subject alike; beyond them they are different views. */
const LEAST_SCALE = 0.3;
const MOST_SCALE = 3;
/** Places that follow the map no better than this, per 1000 px of the baseline: the surface is curved or has moved in itself. */
const BENT_PX = 2;

/**
 * Lays a follow-up over its baseline: by the pictures themselves, or by points that a person matched. The homography
 * maps follow-up to baseline in upright full-size pixels counted from the outer corner. Refusal, with its reason, is
 * an answer; whatever makes the result doubtful stands in `warnings`.
 *
 * @throws SamescaleError those of reading and decoding
 */
export async function alignFiles(input: AlignInput): Promise<AlignAnswer> {
  const names = { baseline: input.baseline, followup: input.followup };
  const [first, second] = [await bytesOfFile(input.baseline), await bytesOfFile(input.followup)];
  const foreign = foreignReading(input, first.sha256, second.sha256);
  if (foreign) return { ...names, aligned: false, reason: foreign };
  const maxSidePx = input.quick ? QUICK_SIDE_PX : FINE_SIDE_PX;
  const baseline = await decodeBytes(first.bytes, input.baseline, { maxSidePx });
  const followup = await decodeBytes(second.bytes, input.followup, { maxSidePx });
  const laid = input.points ? byPoints(input.points, baseline) : await byPictures(baseline, followup, input);
  if (!laid.aligned) return { ...names, ...laid };
  const sizes = [sizeOf(baseline), sizeOf(followup)] as const;
  const movement = describe(laid.homography, ...sizes);
  const { scaleChange, overlap } = movement;
  // In shares of the frame: a file with fewer pixels may show the same field.
  const inFrame = (scaleChange * longSide(sizes[0])) / longSide(sizes[1]);
  if (!(inFrame >= LEAST_SCALE && inFrame <= MOST_SCALE)) {
    const reason = `the subject would fill ${inFrame.toFixed(2)} times as much of the follow-up's frame as of the baseline's: a different view`;
    return { ...names, aligned: false, reason };
  }
  if (overlap === 0) {
    return { ...names, aligned: false, reason: "laid over each other, the two pictures would not overlap" };
  }
  const homography = withLastOne(laid.homography);
  const ratio =
    input.scales && !laid.withScales
      ? sameRatio(homography, movement.middle, input.scales.baseline, input.scales.followup)
      : null;
  const framed = await Promise.all([
    framedPicture(input, "baseline", baseline),
    framedPicture(input, "followup", followup),
  ]);
  return {
    ...names,
    aligned: true,
    homography,
    scaleChange,
    rotationDeg: movement.rotationDeg,
    shiftFraction: movement.shiftFraction,
    overlap,
    residualPx: laid.residualPx,
    matches: laid.matches,
    method: input.points ? "points" : "pictures",
    map: laid.kind,
    agreement: laid.agreement,
    framing: framingOf(homography, ...framed, laid.kind === "homography"),
    sameRatio: ratio,
    bending: laid.bending,
    warnings: [
      ...laid.warnings,
      ...ratioWarnings(ratio),
      ...bendingWarnings(laid.bending, input),
      ...(input.points ? movementWarnings(movement) : []),
      ...(laid.residualPx > (BENT_PX * longSide(sizes[0])) / 1000
        ? [
            `places lie ${laid.residualPx.toFixed(1)} px beside each other on average: the surface is curved or has moved in itself`,
          ]
        : []),
      ...(first.sha256 === second.sha256 ? ["both files hold the same picture"] : []),
      ...baseline.warnings.map((warning) => `baseline: ${warning}`),
      ...followup.warnings.map((warning) => `follow-up: ${warning}`),
    ],
    recipe: { ...RECIPE, parameters: { method: input.points ? "points" : "pictures" } },
  };
}

function bendingWarnings(bending: Bending | null, { bend, ignoreBaseline, points }: AlignInput): string[] {
  if (!bend) return [];
  if (points) return ["nothing was bent: points that a person placed give one plane map"];
  if ((ignoreBaseline ?? []).length === 0) {
    return ["nothing was bent: without the wound's outline a bend could hide its healing"];
  }
  if (!bending?.used) return [];
  return [
    `outside the outlines the follow-up is bent by up to ${bending.maxPx.toFixed(1)} px (mean ${bending.meanPx.toFixed(1)} px) to look at: measure nothing in it`,
  ];
}

type Laid =
  | {
      readonly aligned: true;
      readonly homography: Matrix3;
      readonly kind: MapKind;
      readonly residualPx: number;
      readonly matches: number;
      readonly agreement: number | null;
      readonly bending: Bending | null;
      /** The scales were compared like skin, so that they are no second witness of the ratio. */
      readonly withScales: boolean;
      readonly warnings: readonly string[];
    }
  | { readonly aligned: false; readonly reason: string; readonly mirrored?: true };

function byPoints(points: NonNullable<AlignInput["points"]>, baseline: DecodedPicture): Laid {
  const map = mapFromPoints(points, Math.max(baseline.fullWidthPx, baseline.fullHeightPx));
  if (!map.ok) return { aligned: false, reason: map.reason };
  return { ...map, aligned: true, matches: points.length, agreement: null, bending: null, withScales: false };
}

/** A scale is laid anew at every visit: without the scales first; with them where they leave too little skin, as close up. */
async function byPictures(
  baseline: DecodedPicture,
  followup: DecodedPicture,
  input: AlignInput,
): Promise<Laid> {
  const { scales } = input;
  const bend = input.bend === true && (input.ignoreBaseline ?? []).length > 0;
  const lay = (ofBaseline: readonly OutlineRegion[], ofFollowup: readonly OutlineRegion[]) =>
    layOver(
      baseline,
      followup,
      {
        baseline: leftOutOf([...(input.ignoreBaseline ?? []), ...ofBaseline], baseline),
        followup: leftOutOf([...(input.ignoreFollowup ?? []), ...ofFollowup], followup),
      },
      bend,
    );
  if (!scales?.baseline.found && !scales?.followup?.found) return await lay([], []);
  const ofFollowup = scales.followup ? scaleRegions(scales.followup) : [];
  const laid = await lay(scaleRegions(scales.baseline), ofFollowup);
  if (laid.aligned || input.quick) return laid;
  const again = await lay([], []);
  if (!again.aligned) return laid;
  return {
    ...again,
    withScales: true,
    warnings: [
      ...again.warnings,
      "beside the scales there is too little to compare: they were compared as well",
    ],
  };
}

/** Decoded pixels are outer-corner, as full-size ones are: the sizes differ by a factor a side, without a half pixel. */
async function layOver(
  baseline: DecodedPicture,
  followup: DecodedPicture,
  leftOut: { readonly baseline: LeftOut; readonly followup: LeftOut },
  bend: boolean,
): Promise<Laid> {
  const laid = await alignPictures(greyOf(baseline), greyOf(followup), leftOut, { bend });
  if (!laid.aligned) return laid;
  const [bx, by] = factorsOf(baseline);
  const [fx, fy] = factorsOf(followup);
  return {
    ...laid,
    withScales: false,
    homography: composeHomographies(
      scaling(1 / bx, 1 / by),
      composeHomographies(laid.homography, scaling(fx, fy)),
    ),
    residualPx: laid.residualPx / Math.sqrt(bx * by),
    bending: laid.bending && scaledBending(laid.bending, 1 / Math.sqrt(bx * by)),
  };
}

const factorsOf = (p: DecodedPicture) => [p.widthPx / p.fullWidthPx, p.heightPx / p.fullHeightPx] as const;
const longSide = (size: { widthPx: number; heightPx: number }) => Math.max(size.widthPx, size.heightPx);
const sizeOf = (p: DecodedPicture) => ({ widthPx: p.fullWidthPx, heightPx: p.fullHeightPx });

function leftOutOf(regions: readonly OutlineRegion[], picture: DecodedPicture): LeftOut {
  const [kx, ky] = factorsOf(picture);
  return regions.map((region) => region.outline.map(([x, y]) => [x * kx, y * ky] as const));
}

const scaling = (x: number, y: number): Matrix3 => [
  [x, 0, 0],
  [0, y, 0],
  [0, 0, 1],
];

function withLastOne(h: Matrix3): Matrix3 {
  const k = 1 / h[2][2];
  const row = (r: readonly [number, number, number]) => [r[0] * k, r[1] * k, r[2] * k] as const;
  return [row(h[0]), row(h[1]), row(h[2])];
}

/** What the file and the reading tell of the camera. */
async function framedPicture(
  input: AlignInput,
  which: "baseline" | "followup",
  picture: DecodedPicture,
): Promise<FramedPicture> {
  const info = await infoOfFile({ file: input[which] });
  const size = sizeOf(picture);
  const stated = input.sensorWidthMm === undefined ? {} : { sensorWidthMm: input.sensorWidthMm };
  const { pixelMm } = sensorPitch(stated, info, size);
  const scale: ScaleAnswer | null = input.scales?.[which] ?? null;
  return { ...size, focalMm: info.focalMm, pixelMm, scale };
}

/** A reading that was made in another file says nothing of this one. */
function foreignReading(
  { scales }: AlignInput,
  baselineSha256: string,
  followupSha256: string,
): string | null {
  const known = [
    ["baseline", scales?.baseline, baselineSha256],
    ["follow-up", scales?.followup, followupSha256],
  ] as const;
  for (const [which, scale, sha256] of known) {
    if (scale?.sha256 !== undefined && scale.sha256 !== sha256) {
      return `the scale given for the ${which} was read in another picture (${scale.file}): read it in this one, with samescale scale`;
    }
  }
  return null;
}
