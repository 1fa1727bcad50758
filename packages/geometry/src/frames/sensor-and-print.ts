import {
  type ImagePoint,
  imagePoint,
  type PlanePoint,
  type PrintPoint,
  planePoint,
  printPoint,
  type SensorPoint,
  sensorPoint,
} from "../units.ts";
import type { StoredSize } from "./orientation.ts";

export const MM_PER_INCH = 25.4;

/**
 * Distance of pixel centres on the sensor, mm. `sensorWidthMm` belongs to the **stored** width: a picture turned
 * upright still has the sensor's own pitch.
 */
export const pixelPitchMm = (sensorWidthMm: number, storedWidthPx: number): number =>
  sensorWidthMm / storedWidthPx;

/** Upright pixels -> mm on the sensor from the picture's middle. Square pixels; the picture must not be cropped. */
export function imageToSensor(p: ImagePoint, upright: StoredSize, pitchMm: number): SensorPoint {
  return sensorPoint((p.x - upright.widthPx / 2) * pitchMm, (p.y - upright.heightPx / 2) * pitchMm);
}

/** Mm on the sensor from the picture's middle -> upright pixels. */
export function sensorToImage(p: SensorPoint, upright: StoredSize, pitchMm: number): ImagePoint {
  return imagePoint(p.x / pitchMm + upright.widthPx / 2, p.y / pitchMm + upright.heightPx / 2);
}

/** Upright pixels -> mm on paper at a resolution in pixels per inch. */
export function imageToPrint(p: ImagePoint, pixelsPerInch: number): PrintPoint {
  const k = MM_PER_INCH / pixelsPerInch;
  return printPoint(p.x * k, p.y * k);
}

/** Mm on paper -> upright pixels. */
export function printToImage(p: PrintPoint, pixelsPerInch: number): ImagePoint {
  const k = pixelsPerInch / MM_PER_INCH;
  return imagePoint(p.x * k, p.y * k);
}

/** Pixels per inch at which a print shows the plane of the scale at its true size. */
export const trueSizePixelsPerInch = (pxPerMm: number): number => pxPerMm * MM_PER_INCH;

/** Mm in the subject's plane -> mm on paper for a rectified picture whose origin is the plane's point `origin`. */
export function planeToPrint(p: PlanePoint, origin: PlanePoint, printMagnification: number): PrintPoint {
  return printPoint((p.x - origin.x) * printMagnification, (p.y - origin.y) * printMagnification);
}

/** Mm on paper -> mm in the subject's plane. */
export function printToPlane(p: PrintPoint, origin: PlanePoint, printMagnification: number): PlanePoint {
  return planePoint(p.x / printMagnification + origin.x, p.y / printMagnification + origin.y);
}
