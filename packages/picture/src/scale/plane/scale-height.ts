import type { Measured } from "@samescale/geometry";
import type { Matrix3 } from "../../answers.ts";
import type { FoundScales } from "../read-scale.ts";

/** What is known of the camera beside the picture. */
interface Camera {
  readonly focalMm: number | null;
  readonly pixelMm: number | null;
}

/**
 * Distance from the stated focal length and the ratio, relative standard uncertainty: lenses shorten their focal length
 * as they focus close, and their pupils lie where nobody says.
 */
const DISTANCE_U = 0.15;
/** A height that a person says: a tenth of it, half a millimetre at least. */
const HEIGHT_U_SHARE = 0.1;
const LEAST_HEIGHT_U_MM = 0.5;
/** Where the distance is not known: no nearer are patients photographed. */
const NEAREST_MM = 150;

/** A reading for the subject, and what the height's own doubt adds to it: relative standard uncertainty. */
export interface AtSubject {
  readonly reading: FoundScales;
  readonly heightU: number;
}

/**
 * The reading for the subject's surface, where the scale lay above it (below: negative) by so much. Seen from a distance
 * d, the surface is smaller by d / (d + height); d is the thin lens's f (1 + 1/m) from focal length and ratio.
 * Graduations keep the places and the lengths that they have on the scale.
 */
export function atSubject(reading: FoundScales, heightMm: number, { focalMm, pixelMm }: Camera): AtSubject {
  const above = `${Math.abs(heightMm)} mm ${heightMm > 0 ? "above" : "below"} the subject's surface, as you said`;
  if (focalMm === null || pixelMm === null) {
    const u95 = Math.abs(heightMm) / NEAREST_MM;
    const says = `The scale lay ${above}. Without the focal length and the sensor's width that is not corrected: up to ${(100 * u95).toFixed(0)} % is added to the interval.`;
    return { reading: scaled(reading, 1, u95, says), heightU: u95 / 2 };
  }
  const magnification = reading.facingPxPerMm.value * pixelMm;
  const lean = ((reading.plane?.tiltDeg.value ?? 0) * Math.PI) / 180;
  const distanceMm = focalMm * (1 + 1 / magnification) * Math.cos(lean);
  const factor = distanceMm / (distanceMm + heightMm);
  const heightU = Math.max(LEAST_HEIGHT_U_MM, HEIGHT_U_SHARE * Math.abs(heightMm));
  const u = Math.hypot(heightMm * DISTANCE_U, heightU) / (distanceMm + heightMm);
  const says = `The scale lay ${above}: px/mm and ratio are the subject's, ${(100 * Math.abs(factor - 1)).toFixed(1)} % ${factor < 1 ? "less" : "more"} than on the scale.`;
  return { reading: scaled(reading, factor, 2 * u, says), heightU: u };
}

/** @param u95 relative, added to what is there */
function scaled(reading: FoundScales, factor: number, u95: number, says: string): FoundScales {
  const times = ({ value, u95: before }: Measured): Measured => ({
    value: value * factor,
    u95: Math.hypot(before, u95 * value) * factor,
  });
  const { plane } = reading;
  return {
    ...reading,
    scales: reading.scales.map((scale) => ({ ...scale, pxPerMm: times(scale.pxPerMm) })),
    plane: plane && { ...plane, homographyPxToMm: stretched(plane.homographyPxToMm, 1 / factor) },
    facingPxPerMm: times(reading.facingPxPerMm),
    warnings: [...reading.warnings, says],
  };
}

/** To a plane parallel to the scale's: its millimetres grow about the foot of the camera, wherever that is. */
function stretched([x, y, w]: Matrix3, factor: number): Matrix3 {
  const row = ([a, b, c]: Matrix3[0]): Matrix3[0] => [a * factor, b * factor, c * factor];
  return [row(x), row(y), w];
}
