import { type BalancedAperture, balanceForDepth, greatestSharpDepth } from "./balance.ts";
import { circleOfConfusionMm } from "./circle-of-confusion.ts";
import { type DepthOfField, depthOfField } from "./depth-of-field.ts";
import { airyDiscMm, GREEN_NM } from "./diffraction.ts";
import { extensionMm, imageDistanceMm, objectDistanceMm } from "./distance.ts";
import { nearestMarkedFNumber } from "./f-number.ts";
import { type Field, fieldOf } from "./field.ts";
import { flashDistanceMm, guideNumberAtIso } from "./guide-number.ts";
import { hyperfocalMm } from "./hyperfocal.ts";
import { objectToImageMm } from "./object-to-image.ts";
import { effectiveFNumber, exposureFactor, exposureFactorStops, markedFNumber } from "./pupil.ts";
import type { SensorSize } from "./sensor.ts";
import { type OpticsWarning, type TrapSetup, trapsOf } from "./traps.ts";
import { type WorkingDistance, workingDistance } from "./working-distance.ts";
import { longestCoveringZoomMm } from "./zoom-head.ts";

/** Everything a view needs to know of lens, camera and flash. Null: not known, or not stated. */
export interface CloseUpSetup {
  readonly focalMm: number;
  readonly magnification: number;
  readonly sensor: SensorSize;
  /** As the camera shows it; see `fNumberShown`. Null: take the balanced one. */
  readonly fNumber: number | null;
  readonly fNumberShown: TrapSetup["fNumberShown"];
  readonly pupilRatio: number | null;
  readonly focusing: TrapSetup["focusing"];
  /** Null: 0.030 mm at 36 x 24 mm, by crop factor elsewhere. */
  readonly cocMm: number | null;
  /** The depth of the subject that is to be sharp. Null: the greatest that can be. */
  readonly wantedDepthMm: number | null;
  readonly hiatusMm: number | null;
  /** Front principal plane to the front of the lens. */
  readonly frontMm: number | null;
  /** In metres at ISO 100. */
  readonly guideNumberM: number | null;
  readonly iso: number;
}

/** The figures of one close-up. */
export interface CloseUpFigures {
  readonly field: Field;
  readonly objectDistanceMm: number;
  readonly imageDistanceMm: number;
  readonly extensionMm: number;
  /** Null when the hiatus is not known. */
  readonly objectToImageMm: number | null;
  readonly workingDistance: WorkingDistance;
  /** The marked f-number that all figures are for. */
  readonly fNumber: number;
  readonly fNumberFrom: "given" | "balanced";
  readonly effectiveFNumber: number;
  readonly exposureFactor: number;
  readonly exposureFactorStops: number;
  readonly cocMm: number;
  readonly cocFrom: "given" | "0.030-at-36x24";
  readonly depthOfField: DepthOfField;
  readonly hyperfocalMm: number;
  readonly airyDiscMm: number;
  readonly best: BalancedAperture;
  readonly bestFor: "wanted depth" | "greatest sharp depth";
  readonly flash: {
    readonly guideNumberM: number;
    readonly distanceMm: number;
    readonly longestCoveringZoomMm: number;
  } | null;
  readonly warnings: readonly OpticsWarning[];
}

/**
 * All figures of one close-up from what is known of the kit, with the warnings that belong to them. Each
 * figure is computed by the function of its name, where its formula, limits and source stand. A pupil ratio
 * that is not known is taken as 1; without an f-number the balanced one is taken, rounded to its mark.
 * Light is taken as green, 550 nm. Faults: as in those functions, any number outside its range.
 */
export function closeUpFigures(setup: CloseUpSetup): CloseUpFigures {
  const { focalMm, magnification, sensor } = setup;
  const pupilRatio = setup.pupilRatio ?? 1;
  const cocMm = setup.cocMm ?? circleOfConfusionMm(sensor, "0.030-at-36x24");
  const balance = { focalMm, magnification, pupilRatio, cocMm, wavelengthNm: GREEN_NM };
  const best =
    setup.wantedDepthMm === null
      ? greatestSharpDepth(balance)
      : balanceForDepth(balance, setup.wantedDepthMm);
  const fNumber = markedOf(setup, best, pupilRatio);
  const effective = effectiveFNumber(fNumber, magnification, pupilRatio);
  const field = fieldOf(sensor, magnification);
  const objectMm = objectDistanceMm(focalMm, magnification);
  return {
    field,
    objectDistanceMm: objectMm,
    imageDistanceMm: imageDistanceMm(focalMm, magnification),
    extensionMm: extensionMm(focalMm, magnification),
    objectToImageMm: setup.hiatusMm === null ? null : objectToImageMm(focalMm, magnification, setup.hiatusMm),
    workingDistance: workingDistance(objectMm, setup.frontMm),
    fNumber,
    fNumberFrom: setup.fNumber === null ? "balanced" : "given",
    effectiveFNumber: effective,
    exposureFactor: exposureFactor(magnification, pupilRatio),
    exposureFactorStops: exposureFactorStops(magnification, pupilRatio),
    cocMm,
    cocFrom: setup.cocMm === null ? "0.030-at-36x24" : "given",
    depthOfField: depthOfField({ focalMm, magnification, fNumber, cocMm, pupilRatio }),
    hyperfocalMm: hyperfocalMm(focalMm, fNumber, cocMm),
    airyDiscMm: airyDiscMm(effective, GREEN_NM),
    best,
    bestFor: setup.wantedDepthMm === null ? "greatest sharp depth" : "wanted depth",
    flash: flashOf(setup, fNumber, pupilRatio, field),
    warnings: trapsOf({ ...setup, guideNumberUsed: setup.guideNumberM !== null }),
  };
}

function markedOf(setup: CloseUpSetup, best: BalancedAperture, pupilRatio: number): number {
  if (setup.fNumber === null) return nearestMarkedFNumber(best.fNumber) ?? best.fNumber;
  if (setup.fNumberShown !== "effective") return setup.fNumber;
  return markedFNumber(setup.fNumber, setup.magnification, pupilRatio);
}

function flashOf(
  setup: CloseUpSetup,
  fNumber: number,
  pupilRatio: number,
  field: Field,
): CloseUpFigures["flash"] {
  if (setup.guideNumberM === null) return null;
  const guideNumberM = guideNumberAtIso(setup.guideNumberM, 100, setup.iso);
  const distanceMm = flashDistanceMm(guideNumberM, fNumber, setup.magnification, pupilRatio);
  return { guideNumberM, distanceMm, longestCoveringZoomMm: longestCoveringZoomMm(field, distanceMm) };
}
