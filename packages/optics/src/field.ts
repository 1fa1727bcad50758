import { requireNotNegative, requirePositive } from "./check.ts";
import type { SensorSize } from "./sensor.ts";

/** What the frame shows of the plane in focus. */
export interface Field {
  readonly widthMm: number;
  readonly heightMm: number;
}

/**
 * Field in the plane of focus: each sensor side over the magnification, in mm. Holds for every lens; planes
 * in front show less and planes behind show more. Fault: anything not above 0.
 * @source PSEF (1:10 on 36 x 24 mm is a box of 36 x 24 cm)
 * @example fieldOf({ widthMm: 36, heightMm: 24 }, 0.1) // { widthMm: 360, heightMm: 240 }
 */
export function fieldOf(sensor: SensorSize, magnification: number): Field {
  requirePositive("magnification", magnification);
  return {
    widthMm: requirePositive("sensor.widthMm", sensor.widthMm) / magnification,
    heightMm: requirePositive("sensor.heightMm", sensor.heightMm) / magnification,
  };
}

/**
 * The largest magnification at which a part of this size still fits, the camera held as the sensor is
 * given. `margin` is the part of the frame left free along each side, both ends together (0.1: a tenth).
 * Faults: sizes not above 0, a margin outside 0 to below 1.
 * @source PSEF (field = sensor/m, solved for m)
 * @example magnificationToFit({ widthMm: 36, heightMm: 24 }, { widthMm: 360, heightMm: 200 }, 0) // 0.1
 */
export function magnificationToFit(sensor: SensorSize, part: Field, margin: number): number {
  requireNotNegative("margin", margin);
  requirePositive("1 - margin", 1 - margin);
  const across = requirePositive("sensor.widthMm", sensor.widthMm) / requirePositive("widthMm", part.widthMm);
  const down =
    requirePositive("sensor.heightMm", sensor.heightMm) / requirePositive("heightMm", part.heightMm);
  return Math.min(across, down) * (1 - margin);
}
