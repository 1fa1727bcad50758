import { SamescaleError } from "@samescale/errors";

/**
 * The virtual camera: a thin lens of pupil ratio 1 in front of a flat sensor, held over a surface.
 *
 * The optical axis meets the surface at `targetMm`. With all angles 0 the picture's right is the surface's +x and
 * its lower edge the surface's +y.
 */
export interface Camera {
  readonly focalMm: number;
  /** Size on the sensor : size on the surface, at the point where the optical axis meets the surface. */
  readonly magnification: number;
  /** The marked f-number; the blur of an out-of-focus point follows from it and the distances. */
  readonly fNumber: number;
  readonly sensorMm: { readonly width: number; readonly height: number };
  readonly widthPx: number;
  readonly heightPx: number;
  /** Where the optical axis meets the surface, in surface millimetres. */
  readonly targetMm: { readonly x: number; readonly y: number };
  /** Lean about the picture's horizontal: positive, the lower edge of the surface recedes. */
  readonly leanXDeg: number;
  /** Lean about the picture's vertical: positive, the right edge of the surface recedes. */
  readonly leanYDeg: number;
  /** Turn about the optical axis: positive, the content turns clockwise in the picture. */
  readonly rollDeg: number;
  /** How far the sharp plane lies behind (+) or before (-) the target, along the axis. */
  readonly focusOffsetMm: number;
  /**
   * Radial distortion: a point at half-diagonal distance r (1 = corner) is moved to r(1 + k1 r²). Negative is
   * barrel, positive is pincushion; -0.01 moves a corner inwards by 1 %.
   */
  readonly radialK1: number;
  /** Where the optical axis meets the sensor, from its centre, in px. */
  readonly principalOffsetPx: { readonly x: number; readonly y: number };
  /** Straight movement of the picture during the exposure. */
  readonly motion: { readonly lengthPx: number; readonly directionDeg: number };
  /** Light fall-off towards the corners: 1 = the cos⁴ law of the field angle, 0 = none, more = stronger. */
  readonly vignetting: number;
  readonly exposureStops: number;
  readonly whiteBalanceK: number;
  readonly iso: number;
  /** Sensor noise: 1 = a usual 36 x 24 mm sensor at this ISO, 0 = none. */
  readonly noiseLevel: number;
  /** Unsharp mask at 1 px radius: 0 = none, 1 = strong. */
  readonly sharpen: number;
  readonly jpegQuality: number;
  readonly make: string;
  readonly model: string;
  readonly lensModel: string;
  readonly serial: string;
  /** As the camera's clock said, `YYYY:MM:DD HH:MM:SS`. */
  readonly takenAt: string;
  readonly exposureS: number;
  readonly flashFired: boolean;
  /** EXIF orientation of the written file, 1 to 8; the rendered pixels are upright whatever it says. */
  readonly orientation: number;
}

const STANDARD: Camera = {
  focalMm: 100,
  magnification: 0.25,
  fNumber: 16,
  sensorMm: { width: 36, height: 24 },
  widthPx: 2400,
  heightPx: 1600,
  targetMm: { x: 0, y: 0 },
  leanXDeg: 0,
  leanYDeg: 0,
  rollDeg: 0,
  focusOffsetMm: 0,
  radialK1: 0,
  principalOffsetPx: { x: 0, y: 0 },
  motion: { lengthPx: 0, directionDeg: 0 },
  vignetting: 1,
  exposureStops: 0,
  whiteBalanceK: 5500,
  iso: 200,
  noiseLevel: 1,
  sharpen: 0.3,
  jpegQuality: 92,
  make: "Virtual",
  model: "Virtual One",
  lensModel: "Virtual 100 mm close-up",
  serial: "000000",
  takenAt: "2026:03:02 09:00:00",
  exposureS: 1 / 160,
  flashFired: true,
  orientation: 1,
};

/** A close-up camera: 100 mm at f/16, 1:4, 36 x 24 mm sensor of 2400 x 1600 px, square on, in focus. */
export function standardCamera(overrides: Partial<Camera> = {}): Camera {
  return { ...STANDARD, ...overrides };
}

const MAX_LEAN_DEG = 60; // beyond this the far edge of a close-up nears the horizon
const MAX_PIXELS = 120e6;

/** Refuses a camera that cannot exist or that this renderer cannot draw. */
export function checkCamera(camera: Camera): void {
  const fault = faultOf(camera);
  if (fault) {
    throw new SamescaleError(
      "SIM_CAMERA",
      `The virtual camera cannot be built: ${fault}`,
      "Correct the named value.",
    );
  }
}

function faultOf(c: Camera): string | null {
  for (const [name, value] of Object.entries(c)) {
    if (typeof value === "number" && !Number.isFinite(value)) return `${name} is not a number`;
  }
  const positive = { focalMm: c.focalMm, fNumber: c.fNumber, sensorWidth: c.sensorMm.width, iso: c.iso };
  for (const [name, value] of Object.entries(positive)) {
    if (!(value > 0)) return `${name} must be above 0, received ${value}`;
  }
  if (!(c.magnification >= 0.005 && c.magnification <= 5)) {
    return `magnification must lie within 0.005 to 5, received ${c.magnification}`;
  }
  for (const side of [c.widthPx, c.heightPx]) {
    if (!Number.isInteger(side) || side < 1)
      return `a picture side must be a whole number of px, received ${side}`;
  }
  if (c.widthPx * c.heightPx > MAX_PIXELS) return `more than ${MAX_PIXELS / 1e6} megapixels`;
  const objectMm = c.focalMm * (1 + 1 / c.magnification);
  if (Math.abs(c.focusOffsetMm) > objectMm / 2)
    return `focus off by more than half the distance of ${objectMm} mm`;
  if (Math.hypot(c.leanXDeg, c.leanYDeg) > MAX_LEAN_DEG) return `leans by more than ${MAX_LEAN_DEG} degrees`;
  if (Math.abs(c.radialK1) > 0.25) return `radialK1 must lie within -0.25 to 0.25, received ${c.radialK1}`;
  const pitchRatio = c.sensorMm.width / c.widthPx / (c.sensorMm.height / c.heightPx);
  // One pixel of rounding in either side is allowed; a real mismatch is a mistake in the caller's numbers.
  if (Math.abs(pitchRatio - 1) > 1.5 / Math.min(c.widthPx, c.heightPx) + 1e-9) {
    return `pixels are not square (${pitchRatio.toFixed(4)} wide per high)`;
  }
  if (!(c.jpegQuality >= 1 && c.jpegQuality <= 100)) return `jpegQuality must lie within 1 to 100`;
  if (!Number.isInteger(c.orientation) || c.orientation < 1 || c.orientation > 8)
    return "orientation must be 1 to 8";
  if (c.noiseLevel < 0 || c.sharpen < 0 || c.motion.lengthPx < 0) return "a strength is below 0";
  return null;
}
