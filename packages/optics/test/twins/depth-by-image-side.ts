/**
 * Slow literal twin of the exact depth of field: it works on the image side, as a ray tracer would. The
 * exit pupil has P times the entrance pupil's diameter f/N and stands f(1 - P) behind the rear principal
 * plane; a point at distance x is imaged at f x/(x - f); the cone from the pupil to that image leaves a
 * disc on the sensor. The limits are searched by halving.
 */
export function blurOnSensorMm(lens: TwinLens, fNumber: number, pointMm: number): number {
  const { focalMm: f, magnification: m, pupilRatio: P } = lens;
  const sensorMm = f * (1 + m);
  const imageMm = (f * pointMm) / (pointMm - f);
  const exitPupilMm = f * (1 - P);
  const diameterMm = (P * f) / fNumber;
  return (diameterMm * Math.abs(sensorMm - imageMm)) / Math.abs(imageMm - exitPupilMm);
}

export interface TwinLens {
  readonly focalMm: number;
  readonly magnification: number;
  readonly pupilRatio: number;
}

/** The two distances at which the blur reaches `cocMm`; the far one Infinity when it never does. */
export function limitsBySearch(
  lens: TwinLens,
  fNumber: number,
  cocMm: number,
): { readonly nearMm: number; readonly farMm: number } {
  const objectMm = lens.focalMm * (1 + 1 / lens.magnification);
  const blur = (pointMm: number) => blurOnSensorMm(lens, fNumber, pointMm);
  const nearMm = halve(lens.focalMm * (1 + 1e-9), objectMm, (x) => blur(x) > cocMm);
  const veryFar = objectMm * 1e9;
  const farMm =
    blur(veryFar) < cocMm ? Number.POSITIVE_INFINITY : halve(veryFar, objectMm, (x) => blur(x) > cocMm);
  return { nearMm, farMm };
}

function halve(from: number, to: number, blurred: (x: number) => boolean): number {
  let [bad, good] = [from, to];
  for (let i = 0; i < 200; i++) {
    const middle = (bad + good) / 2;
    if (blurred(middle)) bad = middle;
    else good = middle;
  }
  return (bad + good) / 2;
}
