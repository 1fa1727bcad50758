import { type CloseUpFigures, closeUpFigures } from "@samescale/optics";
import { type Caution, cautions } from "./cautions.ts";
import type { Practice } from "./practice.ts";
import type { View, ViewSet } from "./view.ts";

/** A view with the numbers that the photographer needs at the patient. Lengths in mm, upright frame. */
export interface PlannedView {
  readonly view: View;
  readonly fieldMm: { readonly width: number; readonly height: number };
  readonly objectDistanceMm: number;
  readonly depthOfFieldMm: { readonly inFront: number; readonly behind: number };
  readonly effectiveFNumber: number;
  readonly cautions: readonly string[];
  /** Where a number misleads with the kit at hand. */
  readonly warnings: readonly string[];
}

/** What is stored when a plan is saved: the shape named `views/1`. */
export interface Plan {
  readonly format: "views/1";
  readonly viewSet: { readonly key: string; readonly version: number; readonly name: string };
  readonly practiceVersion: number;
  readonly purpose: ViewSet["purpose"];
  readonly views: readonly PlannedView[];
}

/** The views of one set with their numbers for the department's camera. */
export function planViews(set: ViewSet, practice: Practice): Plan {
  return {
    format: "views/1",
    viewSet: { key: set.key, version: set.version, name: set.name },
    practiceVersion: practice.version,
    purpose: set.purpose,
    views: set.views.map((view) => planView(view, practice)),
  };
}

function planView(view: View, practice: Practice): PlannedView {
  const figures = figuresOf(view, practice);
  const { longMm, shortMm } = sides(figures);
  const lying = view.orientation === "landscape";
  return {
    view,
    fieldMm: { width: lying ? longMm : shortMm, height: lying ? shortMm : longMm },
    objectDistanceMm: figures.objectDistanceMm,
    depthOfFieldMm: { inFront: figures.depthOfField.inFrontMm, behind: figures.depthOfField.behindMm },
    effectiveFNumber: figures.effectiveFNumber,
    cautions: view.cautions.map((name: Caution) => cautions[name]),
    warnings: figures.warnings.map((w) => w.says),
  };
}

function sides({ field }: CloseUpFigures): { longMm: number; shortMm: number } {
  const { widthMm, heightMm } = field;
  return { longMm: Math.max(widthMm, heightMm), shortMm: Math.min(widthMm, heightMm) };
}

function figuresOf(view: View, practice: Practice): CloseUpFigures {
  return closeUpFigures({
    focalMm: view.focalMm,
    magnification: view.magnification,
    sensor: practice.sensor,
    fNumber: view.fNumber,
    fNumberShown: "marked",
    pupilRatio: null,
    focusing: "unknown",
    cocMm: practice.circleOfConfusionMm,
    wantedDepthMm: null,
    hiatusMm: null,
    frontMm: null,
    guideNumberM: null,
    iso: 100,
  });
}
