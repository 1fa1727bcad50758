import { SamescaleError } from "@samescale/errors";

/** Refuses a number that is not finite and above 0. `name` carries the unit, as everywhere: "focalMm". */
export function requirePositive(name: string, value: number): number {
  if (Number.isFinite(value) && value > 0) return value;
  throw outOfRange(`${name} above 0`, value);
}

/** The same with 0 allowed: a magnification of 0 is a subject at infinity. */
export function requireNotNegative(name: string, value: number): number {
  if (Number.isFinite(value) && value >= 0) return value;
  throw outOfRange(`${name} of 0 or more`, value);
}

/** Refuses only NaN and the infinities, for quantities that may have either sign. */
export function requireFinite(name: string, value: number): number {
  if (Number.isFinite(value)) return value;
  throw outOfRange(`a finite ${name}`, value);
}

/** Refuses a distance from which this lens forms no real image. */
export function requireAbove(name: string, value: number, limitName: string, limit: number): number {
  if (Number.isFinite(value) && value > limit) return value;
  throw outOfRange(`${name} above ${limitName}, which is ${limit} here`, value);
}

export function outOfRange(expected: string, received: number | string): SamescaleError {
  return new SamescaleError(
    "OPTICS_OUT_OF_RANGE",
    `Expected ${expected}, received ${received}`,
    "Check the number and its unit: lengths are in millimetres, a ratio of 1:10 is a magnification of 0.1.",
  );
}
