import type { Measured } from "@samescale/geometry";
import { moveBackMm } from "@samescale/optics";
import type { Tolerances } from "./department/tolerances.ts";
import type { PlannedView } from "./plan/plan-view.ts";

/** What was read from one frame; null where the picture did not tell. */
export interface FrameReading {
  readonly reproductionRatio: Measured | null;
  readonly leanDeg: Measured | null;
  /** Why the ratio is not known, when it is not: no scale was read, or nothing tells the sensor's width. */
  readonly notFoundReason: string | null;
  /** Free of the sensor: width of the field over its height decides the orientation of the frame. */
  readonly widthPx: number;
  readonly heightPx: number;
  readonly warnings: readonly string[];
}

/** What one reading alone does not show: two scales in the picture that disagree, or the skin against the scale over a series. */
export interface Observation {
  readonly what: "scale-plane";
  readonly by: "two-scales" | "series";
  readonly heightMm: Measured;
}

export type Finding =
  | {
      readonly what: "ratio";
      readonly planned: number;
      readonly read: number;
      readonly moveMm: number | null;
    }
  | { readonly what: "lean"; readonly deg: number }
  | { readonly what: "scale-plane"; readonly heightMm: number }
  | { readonly what: "orientation"; readonly planned: "landscape" | "portrait" };

export interface Verdict {
  readonly verdict: "keep" | "repeat" | "your-choice" | "not-judged";
  /** One sentence for the hand. */
  readonly say: string;
  readonly findings: readonly Finding[];
  readonly notJudged: readonly string[];
}

/**
 * Judges one frame against its planned view. A fault counts only when it lies beyond the tolerance by more than the
 * reading's own uncertainty; within the grey band the choice is the photographer's. What could not be read is
 * listed, never passed over.
 * @param series true where pictures are compared over time: the narrower ratio tolerance holds
 */
export function judgeFrame(input: {
  readonly planned: Pick<PlannedView, "magnification" | "focalMm"> & {
    readonly view: Pick<PlannedView["view"], "scale" | "orientation">;
  };
  readonly reading: FrameReading;
  readonly tolerances: Tolerances;
  readonly series: boolean;
  readonly observations?: readonly Observation[];
}): Verdict {
  const { planned, reading, tolerances } = input;
  const { view } = planned;
  const findings: Finding[] = [];
  const notJudged: string[] = [];
  const words: string[] = [];
  let doubtful = false;
  let repeat = false;

  if (view.scale === "none") {
    notJudged.push("ratio and lean: this view is made without a scale");
  } else if (reading.reproductionRatio === null) {
    notJudged.push(`ratio: ${reading.notFoundReason ?? "the width of the sensor is not known"}`);
    doubtful = true;
  } else {
    const { value, u95 } = reading.reproductionRatio;
    const off = value / planned.magnification - 1;
    const allowed = (input.series ? tolerances.seriesRatioPercent : tolerances.ratioPercent) / 100;
    const unsure = u95 / planned.magnification;
    if (Math.abs(off) > allowed) {
      const moveMm = moveBackMm(planned.focalMm, value, planned.magnification);
      findings.push({ what: "ratio", planned: planned.magnification, read: value, moveMm });
      words.push(sayMove(moveMm));
      if (Math.abs(off) - unsure > allowed) repeat = true;
      else doubtful = true;
    }
  }

  const heights = (input.observations ?? []).filter(
    ({ heightMm }) => Math.abs(heightMm.value) > tolerances.scaleHeightMm,
  );
  for (const { heightMm } of heights) findings.push({ what: "scale-plane", heightMm: heightMm.value });
  if (reading.leanDeg === null) {
    if (view.scale !== "none") notJudged.push("lean: one straight edge does not show it");
  } else if (reading.leanDeg.value > tolerances.leanDeg) {
    const { value, u95 } = reading.leanDeg;
    findings.push({ what: "lean", deg: value });
    if (heights.length === 0)
      words.push(`Bring the camera square to the skin: it leans ${Math.round(value)}°.`);
    if (value - u95 > tolerances.leanDeg) repeat = true;
    else doubtful = true;
  }
  if (heights.length > 0) {
    words.push(sayHeight(heights[0]!, findings));
    repeat = true;
  }

  const upright = reading.heightPx > reading.widthPx ? "portrait" : "landscape";
  if (upright !== view.orientation && reading.heightPx !== reading.widthPx) {
    findings.push({ what: "orientation", planned: view.orientation });
    words.push(`Turn the camera: this view is ${view.orientation}.`);
    doubtful = true;
  }

  if (repeat) return { verdict: "repeat", say: words.join(" "), findings, notJudged };
  if (doubtful) {
    const reason = words.length > 0 ? words.join(" ") : `Look yourself: ${notJudged.join("; ")}.`;
    return { verdict: "your-choice", say: reason, findings, notJudged };
  }
  if (view.scale === "none") {
    return {
      verdict: "not-judged",
      say: "Kept as it is: there is no scale to judge it by.",
      findings,
      notJudged,
    };
  }
  return { verdict: "keep", say: "Keep: the ratio is as planned.", findings, notJudged };
}

/** Two scales at different heights look like a lean; who stands there sees which it is. */
function sayHeight({ by, heightMm }: Observation, findings: readonly Finding[]): string {
  const height = `${Math.round(Math.abs(heightMm.value))} mm`;
  if (by === "series") {
    return `Lay the scale level with the skin: it is ${height} ${heightMm.value > 0 ? "above" : "below"} it.`;
  }
  const lean = findings.find((finding) => finding.what === "lean");
  const square = lean ? `square the camera, it would lean ${Math.round(lean.deg)}°` : "square the camera";
  return `The scales disagree: lay both level with the skin, one seems ${height} higher, or ${square}.`;
}

function sayMove(moveMm: number): string {
  const distance = Math.abs(moveMm);
  const words =
    distance >= 20 ? `${Math.round(distance / 10)} cm` : `${Math.max(1, Math.round(distance))} mm`;
  return `Move ${words} ${moveMm > 0 ? "back" : "closer"}.`;
}
