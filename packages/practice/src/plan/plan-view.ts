import { SamescaleError } from "@samescale/errors";
import {
  carryRatio,
  circleOfConfusionMm,
  closeUpFigures,
  FRAME_36X24,
  formatRatio,
  type SensorSize,
} from "@samescale/optics";
import { cautions } from "../cautions.ts";
import type { Body, Lens } from "../kit/item.ts";
import type { Practice } from "../read/practice.ts";
import type { View } from "../views/view.ts";
import { sayDistance } from "../words.ts";
import { apertureFor, type DepthSaid, depthSaid } from "./aperture.ts";
import { type Candidate, chooseLens, type LensSetting } from "./choose-lens.ts";
import { type FlashStart, flashStart } from "./flash-start.ts";
import { type RefusedView, refusalOf } from "./refusal.ts";

/** A view with the numbers that the photographer needs at the patient. Lengths in mm, upright frame. */
export interface PlannedView {
  readonly view: View;
  readonly lens: { readonly id: string; readonly name: string };
  readonly focalMm: number;
  /** Upright, as the camera is held for this view. */
  readonly sensorMm: SensorSize;
  /** To reach on this sensor; the view's own ratio is for 36 x 24 mm. */
  readonly magnification: number;
  /** How the ratio was carried to this sensor; null on 36 x 24 mm. */
  readonly carried: string | null;
  /** What to set on the lens. */
  readonly barrel: string;
  readonly fieldMm: { readonly width: number; readonly height: number };
  readonly objectDistanceMm: number;
  /** Front of the lens to the subject; null: nobody measured this lens. */
  readonly workingDistanceMm: number | null;
  /** Where the camera stands, in words. */
  readonly camera: string;
  /** From the subject to behind the photographer. */
  readonly spaceMm: number;
  readonly fNumber: number;
  readonly effectiveFNumber: number;
  readonly depthOfFieldMm: { readonly inFront: number; readonly behind: number };
  readonly depth: DepthSaid | null;
  readonly airyDiscMm: number;
  readonly light: { readonly name: string; readonly placement: string; readonly good: string };
  readonly flash: FlashStart | null;
  /** Where there is no starting exposure: why. */
  readonly noFlash: string | null;
  readonly minutes: number;
  /** Why this lens, and what that changes. */
  readonly reasons: readonly string[];
  readonly cautions: readonly string[];
  /** Where a number misleads with the kit at hand, and what is not reached. */
  readonly warnings: readonly string[];
}

/** The kit and the place that a view is planned for. */
export interface PlanSetting {
  readonly practice: Practice;
  readonly place: { readonly name: string; readonly freeMm: number };
  readonly body: Body;
  /** Lenses to choose from. */
  readonly lenses: readonly Lens[];
}

/** One view planned for this kit and place, or refused with the ways out. */
export function planView(view: View, setting: PlanSetting): PlannedView | RefusedView {
  const { practice, place, body } = setting;
  const carried = carriedTo(body.sensor, view);
  const magnification = carried?.magnification ?? view.magnification;
  const lensSetting: LensSetting = {
    sensor: body.sensor,
    magnification,
    place,
    standingRoomMm: practice.standingRoomMm,
    leastWorkingDistanceMm: practice.leastWorkingDistanceMm,
  };
  const choice = chooseLens(view, lensSetting, setting.lenses);
  if (choice.chosen === null) return refusalOf(view, choice.candidates, lensSetting, practice.places);
  return planned(view, setting, magnification, carried?.says ?? null, choice.chosen, choice.reasons);
}

function planned(
  view: View,
  { practice, body }: PlanSetting,
  magnification: number,
  carried: string | null,
  { lens, workingDistanceMm, objectDistanceMm, spaceMm }: Candidate,
  reasons: readonly string[],
): PlannedView {
  const cocMm = practice.circleOfConfusionMm * (circleOfConfusionMm(body.sensor, "0.030-at-36x24") / 0.03);
  const sensorMm = held(body.sensor, view.orientation);
  const figuresAt = (fNumber: number | null) =>
    closeUpFigures({
      focalMm: lens.focalMm,
      magnification,
      sensor: sensorMm,
      fNumber,
      fNumberShown: "marked",
      pupilRatio: lens.pupilRatio ?? null,
      focusing: lens.focusing,
      cocMm,
      wantedDepthMm: view.depthMm ?? null,
      hiatusMm: lens.hiatusMm ?? null,
      frontMm: workingDistanceMm === null ? null : objectDistanceMm - workingDistanceMm,
      guideNumberM: null,
      iso: 100,
    });
  const aperture = apertureFor(view, lens, figuresAt(null).best.fNumber);
  const figures = figuresAt(aperture.fNumber);
  const light = lightOf(view, practice);
  const flash = flashStart(light, practice.kit, {
    fNumber: aperture.fNumber,
    magnification,
    pupilRatio: lens.pupilRatio ?? 1,
    lensDistanceMm: workingDistanceMm ?? objectDistanceMm,
    fieldMm: figures.field,
  });
  const depth = depthSaid(view, magnification, figures);
  const diffraction =
    figures.airyDiscMm > WORTH_SAYING * cocMm
      ? [
          `Diffraction blurs every point to ${(1000 * figures.airyDiscMm).toFixed(0)} µm, more than the ${(1000 * cocMm).toFixed(0)} µm that count as sharp: open the lens if the depth allows.`,
        ]
      : [];
  return {
    view,
    lens: { id: lens.id, name: lens.name },
    focalMm: lens.focalMm,
    sensorMm,
    magnification,
    carried,
    barrel: barrelSaid(lens, magnification),
    fieldMm: { width: figures.field.widthMm, height: figures.field.heightMm },
    objectDistanceMm,
    workingDistanceMm,
    camera: cameraSaid(view, objectDistanceMm, workingDistanceMm),
    spaceMm,
    fNumber: aperture.fNumber,
    effectiveFNumber: figures.effectiveFNumber,
    depthOfFieldMm: { inFront: figures.depthOfField.inFrontMm, behind: figures.depthOfField.behindMm },
    depth,
    airyDiscMm: figures.airyDiscMm,
    light: { name: light.name, placement: light.placement, good: light.good },
    flash: flash.known ? flash.start : null,
    noFlash: flash.known ? null : flash.why,
    minutes: view.minutes,
    reasons,
    cautions: view.cautions.map((name) => cautions[name]),
    warnings: [
      ...(depth && !depth.reached ? [depth.says] : []),
      ...(aperture.says ? [aperture.says] : []),
      ...diffraction,
      ...figures.warnings.map(({ says }) => says),
    ],
  };
}

/** A view of an older plan may name a light set-up that the practice has given up since. */
function lightOf({ light: wanted, name }: View, { lights }: Practice) {
  const light = lights.find(({ key }) => key === wanted);
  if (light) return light;
  throw new SamescaleError(
    "PLAN_WISHES",
    `${name} names the light set-up ${wanted}, which the practice does not have; it has ${lights.map(({ key }) => key).join(", ")}`,
    "Put it back into department.yaml, or plan the request anew.",
  );
}

/** The balanced f-number lies near equality: that alone is no warning. */
const WORTH_SAYING = 1.15;

/** On the frame that ratios are named for nothing is carried. */
function carriedTo(sensor: SensorSize, view: View): { magnification: number; says: string } | null {
  const long = Math.max(sensor.widthMm, sensor.heightMm);
  if (long === FRAME_36X24.widthMm && Math.min(sensor.widthMm, sensor.heightMm) === FRAME_36X24.heightMm)
    return null;
  const way =
    view.onSmallerSensor === "same-ratio"
      ? ({ keep: "ratio" } as const)
      : ({ keep: "field", side: "long" } as const);
  return carryRatio(view.magnification, sensor, way);
}

function held({ widthMm, heightMm }: SensorSize, orientation: View["orientation"]): SensorSize {
  const [long, short] = [Math.max(widthMm, heightMm), Math.min(widthMm, heightMm)];
  return orientation === "landscape"
    ? { widthMm: long, heightMm: short }
    : { widthMm: short, heightMm: long };
}

/** A mark within this of the ratio is the ratio. */
const AT_THE_MARK = 1.01;

/** What to do with the focusing ring: to a mark, or between two. */
function barrelSaid({ ratiosMarked }: Lens, magnification: number): string {
  const marks = ratiosMarked.toSorted((a, b) => b - a);
  const at = marks.find((mark) => Math.max(mark / magnification, magnification / mark) < AT_THE_MARK);
  const then = "then move until it is sharp";
  if (at !== undefined) return `Set ${formatRatio(at)}, ${then}.`;
  const above = marks.findLast((mark) => mark > magnification);
  const below = marks.find((mark) => mark < magnification);
  const wanted = formatRatio(magnification);
  if (above !== undefined && below !== undefined) {
    return `Set ${wanted}, between ${formatRatio(above)} and ${formatRatio(below)}, ${then}.`;
  }
  const nearest = above ?? below;
  if (nearest === undefined)
    return `No ratios are marked: frame the field, and read ${wanted} from the scale.`;
  return `Set ${wanted}, beyond ${formatRatio(nearest)}, ${then}; the scale tells.`;
}

function cameraSaid(view: View, objectDistanceMm: number, workingDistanceMm: number | null): string {
  const where =
    workingDistanceMm === null
      ? `About ${sayDistance(objectDistanceMm)} from the subject`
      : `Front of the lens ${sayDistance(workingDistanceMm)} from the subject`;
  return `${where}, ${view.cameraHeight}; ${view.cameraAngle}.`;
}
