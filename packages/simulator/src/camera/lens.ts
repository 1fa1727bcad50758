import type { Camera } from "./camera.ts";

/** The thin lens as it stands while the picture is made. All along the optical axis, in mm. */
export interface Lens {
  /** Lens to the target. */
  readonly objectMm: number;
  /** Lens to the plane that is sharp. */
  readonly focusMm: number;
  /** Lens to the sensor. */
  readonly imageMm: number;
  readonly apertureMm: number;
  /** Pixel pitch on the sensor. */
  readonly pitchMm: number;
  /** Image distance in pixels: the pinhole's "focal length". */
  readonly focalPx: number;
}

/**
 * Distances of a thin lens of focal length f at magnification m. In focus u = f(1 + 1/m) and v = f(1 + m). With the
 * focus off by d, m still holds at the target: v/u = m and 1/f = 1/(u + d) + 1/v, a quadratic in u.
 * @source Ray2002 (thin lens)
 */
export function lensOf(camera: Camera): Lens {
  const { focalMm: f, magnification: m, focusOffsetMm: d } = camera;
  const b = f - m * (d - f);
  const objectMm = (b + Math.sqrt(b * b + 4 * m * f * d)) / (2 * m);
  const imageMm = m * objectMm;
  const pitchMm = camera.sensorMm.width / camera.widthPx;
  return {
    objectMm,
    focusMm: objectMm + d,
    imageMm,
    apertureMm: f / camera.fNumber,
    pitchMm,
    focalPx: imageMm / pitchMm,
  };
}

/**
 * Diameter in px of the disc into which a point at `depthMm` from the lens is spread: A v |1/z - 1/z_focus|.
 * Similar triangles behind a thin lens of aperture A; @source Ray2002 (depth of field).
 */
export function blurDiameterPx(lens: Lens, depthMm: number): number {
  return (lens.apertureMm * lens.imageMm * Math.abs(1 / depthMm - 1 / lens.focusMm)) / lens.pitchMm;
}

/** Larger discs are drawn at this size: what is so far out of focus is a shapeless haze, and costs its diameter. */
const MOST_DRAWN_PX = 160;

/** The disc as it is drawn. */
export const drawnDiscPx = (lens: Lens, depthMm: number): number =>
  depthMm > 0 ? Math.min(MOST_DRAWN_PX, blurDiameterPx(lens, depthMm)) : MOST_DRAWN_PX;

/** Green light stands for white in the diffraction blur. */
const WAVELENGTH_MM = 550e-6;
/** An Airy pattern's core is closest to a Gaussian of this many wavelengths times the effective f-number. */
const AIRY_SIGMA = 0.42; // common practice

/** Standard deviation in px of the Gaussian that stands for the Airy pattern at the effective f-number v/A. */
export function diffractionSigmaPx(lens: Lens): number {
  return (AIRY_SIGMA * WAVELENGTH_MM * lens.imageMm) / lens.apertureMm / lens.pitchMm;
}
