import { requireNotNegative } from "./check.ts";
import { exposureFactorStops } from "./pupil.ts";
import { formatRatio } from "./ratio.ts";

/** What is known about the lens and camera beyond the numbers. "unknown" is an answer, and brings the warning. */
export interface TrapSetup {
  readonly magnification: number;
  /** Null when nobody measured it; the figures then assume 1. */
  readonly pupilRatio: number | null;
  /** "extension": the lens moves as a whole, or tubes or bellows do it. */
  readonly focusing: "extension" | "internal" | "unknown";
  /** Which f-number the camera shows and records. */
  readonly fNumberShown: "marked" | "effective" | "unknown";
  /** True when a flash is set by its guide number. */
  readonly guideNumberUsed: boolean;
}

export interface OpticsWarning {
  readonly trap: "internal-focusing" | "effective-f-number" | "pupil-ratio" | "guide-number";
  readonly says: string;
}

/**
 * From 1:20 on: a lens that has lost 30 % of its focal length at 1:1 (in step with m) puts the distance out
 * by 0.3 f, which is 1.4 % at 1:20 and passes the 2 % that a series is held to at 1:14.
 */
const DISTANCE_TRAP_FROM = 0.05;

/** Half of a camera's third-stop step: less than that does not change the setting. */
const STOPS_THAT_MATTER = 1 / 6;

/** Long macro lenses with a telephoto construction go down to about this. */
const LOW_PUPIL_RATIO = 0.5;

/**
 * The ways in which figures from formulas go wrong on a real lens, each returned only where it can occur:
 * (a) internal focusing shortens the focal length, so a distance from the engraved one is too long; (b) an
 * effective f-number taken for the marked one is counted twice; (c) a pupil ratio below 1 costs more light
 * than (1 + m)^2; and guide numbers close up. Faults: a negative magnification, a pupil ratio not above 0.
 * @source Ray2002 (c); the others are common practice, no source
 */
export function trapsOf(setup: TrapSetup): OpticsWarning[] {
  const { magnification, pupilRatio } = setup;
  requireNotNegative("magnification", magnification);
  const warnings: OpticsWarning[] = [];
  if (setup.focusing !== "extension" && magnification >= DISTANCE_TRAP_FROM) {
    warnings.push({
      trap: "internal-focusing",
      says:
        "Many macro lenses shorten their focal length as they focus close (internal focusing): the true distances " +
        "are then shorter than these. Trust the ratio read from the scale, not the distance.",
    });
  }
  const stops = exposureFactorStops(magnification, pupilRatio ?? 1);
  if (setup.fNumberShown === "unknown" && stops >= STOPS_THAT_MATTER) {
    warnings.push({
      trap: "effective-f-number",
      says:
        `Some cameras show and record the effective f-number, others the marked one: ${stops.toFixed(1)} stops ` +
        `apart at ${formatRatio(magnification)}. The f-number here is the marked one; do not correct it twice.`,
    });
  }
  const pupil = pupilWarning(magnification, pupilRatio, stops);
  if (pupil !== null) warnings.push({ trap: "pupil-ratio", says: pupil });
  if (setup.guideNumberUsed) {
    warnings.push({
      trap: "guide-number",
      says:
        "The guide number holds for a small lamp in an ordinary room. Soft boxes and ring lights do not obey it " +
        "close up: make a test frame.",
    });
  }
  return warnings;
}

function pupilWarning(magnification: number, pupilRatio: number | null, stops: number): string | null {
  const symmetricStops = exposureFactorStops(magnification, 1);
  if (pupilRatio === null) {
    const more = exposureFactorStops(magnification, LOW_PUPIL_RATIO) - symmetricStops;
    if (more < 2 * STOPS_THAT_MATTER) return null;
    return (
      "The pupil ratio is not known and was taken as 1. Telephoto-type macro lenses are below 1 and lose more light: " +
      `at ${LOW_PUPIL_RATIO} it would be ${more.toFixed(1)} stops more.`
    );
  }
  const more = stops - symmetricStops;
  if (pupilRatio >= 1 || more < STOPS_THAT_MATTER) return null;
  return (
    `The pupil ratio is below 1: the light loss is ${stops.toFixed(1)} stops, ${more.toFixed(1)} more than ` +
    "(1 + m)² gives."
  );
}
