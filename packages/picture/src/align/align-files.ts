import { composeHomographies, type Matrix3 } from "@samescale/geometry";
import type { AlignAnswer, OutlineRegion } from "../answers.ts";
import { bytesOfFile } from "../decode/bytes-of-file.ts";
import { type DecodedPicture, decodeBytes, greyOf } from "../decode/decode.ts";
import type { AlignInput } from "../pool/tasks.ts";
import { alignPictures } from "./align-pictures.ts";
import { describe, movementWarnings } from "./describe.ts";
import type { MapKind } from "./fit-map.ts";
import { mapFromPoints } from "./from-points.ts";
import { FINE_SIDE_PX, type LeftOut } from "./work-picture.ts";

const RECIPE = { step: "align", version: 1 } as const;

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
  const baseline = await decodeBytes(first.bytes, input.baseline, { maxSidePx: FINE_SIDE_PX });
  const followup = await decodeBytes(second.bytes, input.followup, { maxSidePx: FINE_SIDE_PX });
  const laid = input.points ? byPoints(input.points, baseline) : await byPictures(baseline, followup, input);
  if (!laid.aligned) return { ...names, aligned: false, reason: laid.reason };
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
  return {
    ...names,
    aligned: true,
    homography: withLastOne(laid.homography),
    ...movement,
    residualPx: laid.residualPx,
    matches: laid.matches,
    method: input.points ? "points" : "pictures",
    map: laid.kind,
    agreement: laid.agreement,
    warnings: [
      ...laid.warnings,
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

type Laid =
  | {
      readonly aligned: true;
      readonly homography: Matrix3;
      readonly kind: MapKind;
      readonly residualPx: number;
      readonly matches: number;
      readonly agreement: number | null;
      readonly warnings: readonly string[];
    }
  | { readonly aligned: false; readonly reason: string };

function byPoints(points: NonNullable<AlignInput["points"]>, baseline: DecodedPicture): Laid {
  const map = mapFromPoints(points, Math.max(baseline.fullWidthPx, baseline.fullHeightPx));
  if (!map.ok) return { aligned: false, reason: map.reason };
  return { ...map, aligned: true, matches: points.length, agreement: null };
}

/** Decoded pixels are outer-corner, as full-size ones are: the sizes differ by a factor a side, without a half pixel. */
async function byPictures(
  baseline: DecodedPicture,
  followup: DecodedPicture,
  input: AlignInput,
): Promise<Laid> {
  const laid = await alignPictures(greyOf(baseline), greyOf(followup), {
    baseline: leftOutOf(input.ignoreBaseline, baseline),
    followup: leftOutOf(input.ignoreFollowup, followup),
  });
  if (!laid.aligned) return laid;
  const [bx, by] = factorsOf(baseline);
  const [fx, fy] = factorsOf(followup);
  return {
    ...laid,
    homography: composeHomographies(
      scaling(1 / bx, 1 / by),
      composeHomographies(laid.homography, scaling(fx, fy)),
    ),
    residualPx: laid.residualPx / Math.sqrt(bx * by),
  };
}

const factorsOf = (p: DecodedPicture) => [p.widthPx / p.fullWidthPx, p.heightPx / p.fullHeightPx] as const;
const longSide = (size: { widthPx: number; heightPx: number }) => Math.max(size.widthPx, size.heightPx);
const sizeOf = (p: DecodedPicture) => ({ widthPx: p.fullWidthPx, heightPx: p.fullHeightPx });

function leftOutOf(regions: readonly OutlineRegion[] | undefined, picture: DecodedPicture): LeftOut {
  const [kx, ky] = factorsOf(picture);
  return (regions ?? []).map((region) => region.outline.map(([x, y]) => [x * kx, y * ky] as const));
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
