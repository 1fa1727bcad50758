import { FRAME_36X24, nearestMarkedFNumber } from "@samescale/optics";
import type { Tolerances } from "../department/tolerances.ts";
import type { Lens } from "../kit/item.ts";
import type { PlannedView } from "../plan/plan-view.ts";
import type { RefusedView } from "../plan/refusal.ts";
import type { Origin } from "../views/honesty.ts";
import type { View } from "../views/view.ts";
import { sayFactor } from "../words.ts";
import type { FrameDone } from "./frame-done.ts";
import { framingKnown } from "./framing-known.ts";
import { lensAgain, type PerspectiveKept } from "./lens-again.ts";
import { type LightKnown, lightKnown } from "./light-known.ts";
import { isSameSensor, type Reached, reachedIn } from "./reached.ts";
import { faultsOf, type Strayed, sayReached, strayedFrom } from "./strayed.ts";

/** Which of both is kept where another sensor makes the picture. */
export type Keep = "field" | "ratio";

/** A view planned as it was really made. */
export interface RepeatedView extends PlannedView {
  /** Null: nothing that was kept shows this view; the plan's own values stand. */
  readonly repeats: RepeatOf | null;
}

/** What a view repeats, and how it was brought to today's kit. */
export interface RepeatOf {
  readonly frame: Omit<FrameDone, "planned" | "plannedBody">;
  /** What had been planned for it. */
  readonly planned: Pick<
    PlannedView,
    "magnification" | "focalMm" | "fNumber" | "fieldMm" | "lens" | "light"
  > & {
    readonly body: FrameDone["plannedBody"];
  };
  readonly reached: Omit<Reached, "pair">;
  /** "1:4.02 ± 0.5 %, read from the picture". */
  readonly says: string;
  readonly strayed: readonly Strayed[];
  readonly faults: readonly string[];
  readonly light: LightKnown;
  readonly framing: readonly string[];
  readonly perspective: PerspectiveKept;
  /** Which way the ratio was carried to another sensor, and what follows; null on the same one. */
  readonly converted: string | null;
  /** Other lenses, and what stands against the one of then; best first. */
  readonly alternatives: readonly string[];
}

export interface RepeatSetting {
  readonly tolerances: Tolerances;
  readonly keep: Keep;
  /** Long side of the sensor that makes the picture now. */
  readonly sensorLongMm: number;
  readonly lenses: readonly Lens[];
  /** Id of the lens that somebody asks for. */
  readonly wanted: string | undefined;
  readonly plan: (view: View, lensId: string | null) => PlannedView | RefusedView;
}

/** The view as it was really made, for the kit of now. */
export function repeatView(
  done: FrameDone,
  pair: FrameDone | null,
  setting: RepeatSetting,
): RepeatedView | RefusedView {
  const { planned: plannedThen, plannedBody: body, ...frame } = done;
  const { magnification, focalMm, fNumber, fieldMm, lens, light } = plannedThen;
  const { pair: pairUsed, ...reached } = reachedIn(done, pair);
  const whole: Reached = { ...reached, pair: pairUsed };
  const { view, magnification: now, converted } = viewAgain(done, whole, setting);
  const { lenses, wanted } = setting;
  const chosen = lensAgain({ view, magnification: now, reached: whole, lenses, wanted }, (lensId) =>
    setting.plan(view, lensId),
  );
  const from = `from ${done.name} of ${done.date ?? "an unknown day"}`;
  if ("refused" in chosen)
    return { ...chosen.refused, reason: `${chosen.refused.reason} It repeats what is known ${from}.` };
  const { planned, perspective, says, others } = chosen;
  const allowed = setting.tolerances.seriesRatioPercent / 100;
  const changed =
    Math.abs(perspective.change - 1) > allowed
      ? [
          `Perspective changes by ${sayFactor(perspective.change)}, more than the ${setting.tolerances.seriesRatioPercent} % that the practice allows a series: what lies behind the plane will not lie over the baseline.`,
        ]
      : [];
  return {
    ...planned,
    reasons: [says],
    warnings: [...changed, ...planned.warnings],
    repeats: {
      frame,
      planned: { magnification, focalMm, fNumber, fieldMm, lens, light, body },
      reached,
      says: `${sayReached(reached.magnification.value, reached.relative95)}, ${SAID_BY[reached.magnification.by]}`,
      strayed: strayedFrom(done, whole),
      faults: faultsOf(done, whole, setting.tolerances),
      light: lightKnown(done),
      framing: framingKnown(done),
      perspective,
      converted,
      alternatives: others,
    },
  };
}

const SAID_BY = {
  picture: "read from the picture",
  file: "from the file",
  plan: "as planned",
} as const;

/** The planned view with the values of the frame in place of the planned ones, each with its origin. */
function viewAgain(
  { planned, name, date }: FrameDone,
  reached: Reached,
  { keep, sensorLongMm }: RepeatSetting,
): { readonly view: View; readonly magnification: number; readonly converted: string | null } {
  const { fieldLongMm, magnification } = reached;
  const isSame = isSameSensor(sensorLongMm, reached.sensorLongMm.value);
  const kept = isSame ? "field" : keep;
  const mNow = kept === "field" ? sensorLongMm / fieldLongMm.value : magnification.value;
  const aperture = isSame ? null : apertureOn(sensorLongMm, mNow, reached);
  const { depthMm: _, ...plannedView } = planned.view;
  const origins: Record<string, Origin> = { ...planned.view.origins };
  if (fieldLongMm.by === "picture") {
    const source = `read from ${reached.pair?.name ?? name} of ${date ?? "an unknown day"}`;
    origins.ratio = { mark: "computed", source };
  }
  if (reached.fNumber.by === "file") {
    origins.fNumber = { mark: "computed", source: `from the file ${name}` };
  }
  const view: View = {
    ...plannedView,
    // Views name their ratio for 36 x 24 mm.
    magnification: kept === "field" ? FRAME_36X24.widthMm / fieldLongMm.value : magnification.value,
    onSmallerSensor: kept === "field" ? "same-field" : "same-ratio",
    orientation: reached.orientation.value,
    fNumber: aperture ?? reached.fNumber.value,
    origins: origins as View["origins"],
  };
  return {
    view,
    magnification: mNow,
    converted: isSame ? null : sayConverted(kept, reached, sensorLongMm, aperture),
  };
}

/**
 * The f-number that gives the same depth on another sensor, 2 N c (1 + m) / m² with c by the sensor's size, to the
 * nearest third of a stop.
 * @source Ray2002 (depth of field close up)
 */
function apertureOn(sensorLongMm: number, mNow: number, reached: Reached): number {
  const smaller = sensorLongMm / reached.sensorLongMm.value;
  const m = reached.magnification.value;
  const same = (reached.fNumber.value * (1 + m) * mNow ** 2) / (m ** 2 * (1 + mNow) * smaller);
  return nearestMarkedFNumber(same) ?? same;
}

function sayConverted(keep: Keep, reached: Reached, sensorLongMm: number, aperture: number | null): string {
  const from = `from a sensor ${reached.sensorLongMm.value} mm wide to one of ${sensorLongMm} mm`;
  const depth =
    aperture === null ? "" : ` f/${aperture} gives the depth that f/${reached.fNumber.value} gave.`;
  if (keep === "field") {
    return `Carried ${from} by the field, ${Math.round(reached.fieldLongMm.value)} mm across the long side as then: pictures are laid over each other by the subject, so the same field counts, not the same ratio.${depth}`;
  }
  const nowMm = sensorLongMm / reached.magnification.value;
  return `Carried ${from} by the ratio, as asked: the field is ${Math.round(nowMm)} mm across the long side, not ${Math.round(reached.fieldLongMm.value)} mm; the pictures can still be laid over each other, but one shows less.${depth}`;
}
