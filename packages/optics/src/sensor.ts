import { SamescaleError } from "@samescale/errors";
import { requirePositive } from "./check.ts";
import { parseDecimal } from "./decimal.ts";

/** Width and height of the light-sensitive area as the camera is held, in mm. */
export interface SensorSize {
  readonly widthMm: number;
  readonly heightMm: number;
}

/** The frame that ratios in the trade's older tables refer to ("35 mm"). */
export const FRAME_36X24: SensorSize = { widthMm: 36, heightMm: 24 };

/**
 * Common formats, called by their size. A camera's own sheet may differ by some tenths of a millimetre.
 * @source SensorFormats
 */
export const SENSOR_FORMATS: readonly SensorSize[] = [
  { widthMm: 43.8, heightMm: 32.9 },
  FRAME_36X24,
  { widthMm: 23.5, heightMm: 15.6 },
  { widthMm: 22.3, heightMm: 14.9 },
  { widthMm: 17.3, heightMm: 13 },
  { widthMm: 13.2, heightMm: 8.8 },
];

/**
 * Diagonal in mm. Fault: a side that is not above 0.
 * @example diagonalMm({ widthMm: 40, heightMm: 30 }) // 50
 */
export function diagonalMm(sensor: SensorSize): number {
  return Math.hypot(
    requirePositive("sensor.widthMm", sensor.widthMm),
    requirePositive("sensor.heightMm", sensor.heightMm),
  );
}

/**
 * Crop factor by diagonals: that of 36 x 24 mm over that of this sensor. Between 3:2 and 4:3 it matches
 * neither the widths nor the heights, so fields and ratios are carried by `carryRatio`, never by this
 * number.
 * @source WikipediaCrop
 * @example cropFactor({ widthMm: 18, heightMm: 12 }) // 2
 */
export function cropFactor(sensor: SensorSize): number {
  return diagonalMm(FRAME_36X24) / diagonalMm(sensor);
}

/**
 * Focal length that would show the same angle of view on 36 x 24 mm, in mm, for subjects far away. Close up
 * the angle depends on the image distance as well; plan by ratio and field there.
 * @source WikipediaCrop
 * @example equivalentFocalMm(50, 1.5) // 75
 */
export function equivalentFocalMm(focalMm: number, crop: number): number {
  return requirePositive("focalMm", focalMm) * requirePositive("crop", crop);
}

/**
 * Reads a sensor size as a person types it: "36x24", "23.5 x 15.6", width first, in mm. Fault: anything
 * else.
 * @example parseSensorSize("36x24") // { widthMm: 36, heightMm: 24 }
 */
export function parseSensorSize(typed: string): SensorSize {
  const [width, height, ...more] = typed.split(/[x×*]/i).map((side) => parseDecimal(side));
  if (width && height && more.length === 0 && width > 0 && height > 0) {
    return { widthMm: width, heightMm: height };
  }
  throw new SamescaleError(
    "SENSOR_SIZE_UNREADABLE",
    `Expected a sensor size such as 36x24, received ${JSON.stringify(typed)}`,
    "Type width, the letter x and height in millimetres, both above 0: 36x24 or 23.5x15.6.",
  );
}

/**
 * The size as it is written: "36 × 24 mm".
 * @example formatSensorSize({ widthMm: 23.5, heightMm: 15.6 }) // "23.5 × 15.6 mm"
 */
export function formatSensorSize(sensor: SensorSize): string {
  return `${sensor.widthMm} × ${sensor.heightMm} mm`;
}
