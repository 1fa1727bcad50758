import type { InfoAnswer } from "../answers.ts";
import type { Size } from "../decode/fitting-size.ts";
import { firstNumber, positiveNumber } from "./clean-value.ts";
import type { TagName } from "./exif-tags.ts";

type Warn = (said: string) => void;
type Values = ReadonlyMap<TagName, unknown>;

/** Smaller than any phone's, larger than any medium-format sensor's: outside, the file is wrong. */
const PLAUSIBLE_MM = { least: 3, most: 70 } as const;

/** How far the two ways may differ: the 35 mm equivalent is a whole number and is rounded freely. */
const AGREEMENT = 0.15;

/** A picture whose shape differs by more from what the camera wrote was cropped, not only resized. */
const SAME_SHAPE = 0.01;

/** Diagonal of the 36 x 24 mm frame. */
const FULL_FRAME_DIAGONAL_MM = Math.hypot(36, 24);

/** Length of FocalPlaneResolutionUnit in mm: inch and centimetre are all that the standard knows. */
const DEFAULT_UNIT = 2;
const UNIT_MM: Readonly<Record<number, number>> = { 2: 25.4, 3: 10 };

/**
 * Width of the sensor along the rows of the picture as it was stored (before its orientation was applied), in
 * millimetres, from what the file states:
 *
 * 1. the focal plane resolution: `PixelXDimension * unit / FocalPlaneXResolution`;
 * 2. the focal length and its 35 mm equivalent, which compare diagonals: coarse, as the equivalent is rounded.
 *
 * The first is used when both agree, or only it is there. Null when nothing is stated, when the value is
 * implausible, when the two disagree, or when digital zoom or a later crop left only a part of the sensor's field.
 *
 * @source EXIF232, 4.6.5: FocalPlaneXResolution, FocalLengthIn35mmFilm
 */
export function sensorWidthMm(values: Values, stored: Size, warn: Warn): InfoAnswer["sensorWidthMm"] {
  const zoom = positiveNumber(values.get("digitalZoomRatio"), "digital zoom", warn);
  if (zoom !== null && zoom !== 1) {
    warn(
      `Digital zoom ${round(zoom)} was used: the picture shows a part of the sensor, its width is not known.`,
    );
    return null;
  }
  const camera = cameraSize(values, stored, warn);
  if (camera === null) {
    warn("sensorWidthMm: the picture was cropped since, the part of the sensor that it shows is not known.");
    return null;
  }
  const ways = [fromFocalPlane(values, camera, warn), fromEquivalent(values, camera, warn)].filter(
    (way) => way !== null,
  );
  const [first, second] = ways;
  if (!first) return null;
  if (second && Math.abs(second.value / first.value - 1) > AGREEMENT) {
    warn(
      `sensorWidthMm: ${first.value} mm from the ${first.from} and ${second.value} mm from the ${second.from} disagree; not used.`,
    );
    return null;
  }
  return first;
}

/** The size that the camera wrote, which a resized picture keeps in its metadata; null for another shape. */
function cameraSize(values: Values, stored: Size, warn: Warn): Size | null {
  const widthPx = positiveNumber(values.get("pixelXDimension"), "picture width", warn);
  const heightPx = positiveNumber(values.get("pixelYDimension"), "picture height", warn);
  if (widthPx === null || heightPx === null) return stored;
  const shape = widthPx / heightPx;
  const same = [stored.widthPx / stored.heightPx, stored.heightPx / stored.widthPx].some(
    (other) => Math.abs(other / shape - 1) <= SAME_SHAPE,
  );
  return same ? { widthPx, heightPx } : null;
}

function fromFocalPlane(values: Values, camera: Size, warn: Warn) {
  const resolution = positiveNumber(values.get("focalPlaneXResolution"), "focal plane resolution", warn);
  if (resolution === null) return null;
  const stated = values.get("focalPlaneResolutionUnit");
  const unit = stated === undefined ? DEFAULT_UNIT : firstNumber(stated, "focal plane unit", warn);
  if (unit === null) return null;
  const unitMm = UNIT_MM[unit];
  if (unitMm === undefined) {
    warn(`sensorWidthMm: the focal plane resolution has the unknown unit ${unit}; not used.`);
    return null;
  }
  return plausible(round((camera.widthPx * unitMm) / resolution), "focal plane resolution", warn);
}

function fromEquivalent(values: Values, camera: Size, warn: Warn) {
  const focalMm = positiveNumber(values.get("focalLength"), "focalMm", warn);
  const equivalentMm = positiveNumber(values.get("focalLengthIn35mmFilm"), "35 mm equivalent", warn);
  if (focalMm === null || equivalentMm === null) return null;
  const diagonalMm = (FULL_FRAME_DIAGONAL_MM * focalMm) / equivalentMm;
  const widthMm = (diagonalMm * camera.widthPx) / Math.hypot(camera.widthPx, camera.heightPx);
  return plausible(round(widthMm), "focal length and its 35 mm equivalent", warn);
}

function plausible(value: number, from: string, warn: Warn) {
  if (value >= PLAUSIBLE_MM.least && value <= PLAUSIBLE_MM.most) return { value, from };
  warn(
    `sensorWidthMm: ${value} mm from the ${from} is not between ${PLAUSIBLE_MM.least} and ${PLAUSIBLE_MM.most} mm; not used.`,
  );
  return null;
}

/** To a micrometre, below what any file states. */
const round = (value: number) => Math.round(value * 1000) / 1000;
