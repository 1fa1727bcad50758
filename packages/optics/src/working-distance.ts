import { requireFinite, requirePositive } from "./check.ts";

/** The room between subject and lens, or why it cannot be told. */
export type WorkingDistance =
  | { readonly known: true; readonly distanceMm: number }
  | { readonly known: false; readonly reason: string };

/**
 * Free working distance in mm: object distance minus the distance from the front principal plane to the
 * foremost part of the lens (barrel, hood or ring light). That distance is positive when the lens reaches
 * out in front of the plane, and negative where a telephoto construction puts the plane in front of the
 * glass. It has to be measured once for each lens (and, with internal focusing, for each ratio); null when
 * nobody did. Not known, too, when the two contradict each other, the subject lying inside the lens.
 * Faults: object distance not above 0, offset not finite. Common practice, no source.
 * @example workingDistance(1100, 60) // { known: true, distanceMm: 1040 }
 */
export function workingDistance(objectDistanceMm: number, frontMm: number | null): WorkingDistance {
  requirePositive("objectDistanceMm", objectDistanceMm);
  if (frontMm === null) {
    return {
      known: false,
      reason: "The distance from the front principal plane to the front of this lens has not been measured.",
    };
  }
  const distanceMm = objectDistanceMm - requireFinite("frontMm", frontMm);
  if (distanceMm > 0) return { known: true, distanceMm };
  return {
    known: false,
    reason:
      `The lens would reach ${Math.round(-distanceMm)} mm past the subject: focal length, ratio and the ` +
      "distance to the front of the lens do not fit together.",
  };
}
