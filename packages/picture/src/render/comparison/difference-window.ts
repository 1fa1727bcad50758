import type { Matrix3 } from "../../answers.ts";
import { decodePicture } from "../../decode/decode.ts";
import { sharp } from "../../decode/sharp.ts";
import { warp } from "../window.ts";
import { difference } from "./difference.ts";
import { coverOf } from "./laid-picture.ts";

export interface DifferenceInput {
  readonly file: string;
  readonly baseline: string;
  /** From pixels of the window to full-size upright pixels of each. */
  readonly windowToPicture: Matrix3;
  readonly windowToBaseline: Matrix3;
  readonly widthPx: number;
  readonly heightPx: number;
}

/**
 * Follow-up minus baseline in CIE lightness, as a PNG of the same window that both are shown in: grey where nothing changed,
 * violet where it became darker, ochre where lighter, white where one of the two does not reach.
 */
export async function differenceOfFiles(input: DifferenceInput): Promise<Uint8Array> {
  const { widthPx, heightPx, windowToBaseline, windowToPicture } = input;
  const size = { widthPx, heightPx };
  const [baseline, followup] = [await decodePicture(input.baseline), await decodePicture(input.file)];
  const laid = (picture: typeof baseline, window: Matrix3) => ({
    ...size,
    rgb: warp(picture, { ...size, windowToPicture: window }).rgb,
  });
  const [one, other] = [coverOf(baseline, size, windowToBaseline), coverOf(followup, size, windowToPicture)];
  const both = one.map((covered, i) => (covered && other[i] ? 1 : 0));
  const { rgb } = await difference(laid(baseline, windowToBaseline), laid(followup, windowToPicture), both);
  return await sharp(rgb, { raw: { ...{ width: widthPx, height: heightPx }, channels: 3 } })
    .withIccProfile("srgb")
    .png()
    .toBuffer();
}
