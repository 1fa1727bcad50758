import { imagePoint, localScalePxPerMm, type Measured } from "@samescale/geometry";
import type { OutgoingFrame, OutgoingPicture } from "../form.ts";

/** A rectangle of the picture that leaves, in its pixels. */
export interface PartPx {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** What the scale in a frame says of the picture that leaves. */
export interface FrameCalibration {
  /** In the plane of the scale, where the scale lies. Pixels of the picture that leaves. */
  readonly mmPerPx: Measured;
  /** How it was read, in words. */
  readonly description: string;
  /**
   * One size for a whole part of the picture, or why there is none: no plane, too uncertain, or it changes too much from one
   * side to the other.
   */
  over(part: PartPx): { readonly mmPerPx: Measured } | { readonly why: string };
}

/** As much as a reading may be wrong without a warning (design: none wrong by more than 2 % in silence). */
const MOST_SHARE = 0.02;

/** Null, with the reason, where there is no reading. */
export function calibrationOf(
  { reading }: OutgoingFrame,
  picture: OutgoingPicture,
): FrameCalibration | { readonly why: string } {
  if (reading === null) return { why: "no scale was read in it" };
  const body = reading.body;
  if (!body.found) return { why: `its scale was not read: ${body.reason}` };
  const scale = body.scales[0];
  if (scale === undefined) return { why: "no scale was read in it" };
  const { value, u95 } = scale.pxPerMm;
  const share = u95 / value;
  const times = picture.pxPerOriginalPx;
  const mmPerPx = { value: 1 / (value * times), u95: share / (value * times) };
  const { plane } = body;
  const lean =
    plane === null
      ? "no plane, so the lean of the camera is not known"
      : `the camera leaned ${plane.tiltDeg.value.toFixed(1)} ± ${plane.tiltDeg.u95.toFixed(1)}°`;
  return {
    mmPerPx,
    description: `Scale in the picture (${scale.kind}), ${Math.round(scale.coverageMm)} mm of it read; ${lean}`,
    over(part) {
      if (plane === null) {
        return { why: "its scale shows no plane, so nobody knows how far the camera leaned" };
      }
      if (share > MOST_SHARE) return { why: `its scale is known to ${percent(share)} only` };
      const at = (x: number, y: number) =>
        localScalePxPerMm(plane.homographyPxToMm, imagePoint((part.x + x) / times, (part.y + y) / times));
      const { width, height } = part;
      const middle = at(width / 2, height / 2).mean;
      const corners = [at(0, 0), at(width, 0), at(0, height), at(width, height), at(width / 2, height / 2)];
      const strays = Math.max(
        ...corners.flatMap(({ min, max }) => [Math.abs(max / middle - 1), Math.abs(min / middle - 1)]),
      );
      if (!(strays <= MOST_SHARE)) {
        return {
          why: `the camera leaned too far: sizes differ by ${percent(strays)} within what would be shown`,
        };
      }
      // What differs within the part is added in full: it is known, and not corrected.
      return { mmPerPx: { value: 1 / (middle * times), u95: (share + strays) / (middle * times) } };
    },
  };
}

const percent = (share: number): string => `${(100 * share).toFixed(1)} %`;
