import { formatRatio } from "@samescale/optics";
import type { OwnRepeats } from "@samescale/picture";
import type { RegionTruth } from "@samescale/simulator";
import Table from "cli-table3";
import type { PlantedFault } from "./planted.ts";
import type { MadeSeries } from "./series.ts";
import type { WorkedFrame, WorkedVisit } from "./work-visits.ts";

/** How the numbers stand against the truth. */
export interface Accuracy {
  /** Frames with a ratio read, lean at most 10 degrees; and those within 1 % of the truth. */
  readonly ratios: number;
  readonly ratiosWithinOnePercent: number;
  readonly areas: number;
  readonly areasInInterval: number;
}

/** Plain ruled lines, no colour: it is read on screens of every kind and pasted into mails. */
const LINES = {
  top: "─",
  "top-mid": "─",
  "top-left": "",
  "top-right": "",
  bottom: "─",
  "bottom-mid": "─",
  "bottom-left": "",
  "bottom-right": "",
  left: "",
  "left-mid": "",
  mid: "",
  "mid-mid": "",
  right: "",
  "right-mid": "",
  middle: "  ",
} as const;

/** One row per frame: planned against read, truth against measured, verdict. */
export function frameTable(visits: readonly WorkedVisit[]): string {
  const table = new Table({
    head: [
      "day",
      "request",
      "file",
      "view",
      "planned",
      "read",
      "lean",
      "area, true",
      "area, measured",
      "verdict",
    ],
    chars: LINES,
    style: { head: [], border: [], "padding-left": 0, "padding-right": 0 },
    colAligns: ["left", "left", "left", "left", "right", "right", "right", "right", "right", "left"],
  });
  for (const visit of visits) {
    for (const frame of visit.frames) table.push(row(frame));
    for (const missing of visit.missing) {
      table.push([visit.date, visit.job.code, "", missing, "", "", "", "", "", "not made"]);
    }
  }
  return table.toString();
}

function row(frame: WorkedFrame): string[] {
  const { checked, job, date, measured } = frame;
  const { scale, planned, verdict } = checked;
  const truth = regionOf(frame);
  const area = measured?.measurement.regions[0]?.areaMm2;
  const lean = scale.found ? scale.plane?.tiltDeg : undefined;
  return [
    date,
    job.code,
    checked.name,
    planned?.view.name ?? "no view of the plan",
    planned ? ratio(planned.view.magnification) : "",
    scale.found && scale.reproductionRatio
      ? ratio(scale.reproductionRatio.value)
      : planned?.view.scale === "none"
        ? "no scale"
        : "not read",
    lean ? `${lean.value.toFixed(1)}°` : "",
    truth ? `${truth.areaMm2.toFixed(0)} mm²` : "",
    area
      ? `${area.value.toFixed(0)} ± ${area.u95.toFixed(0)} mm²`
      : frame.made.outlined !== null
        ? "not measured"
        : "",
    verdict ? verdict.verdict.replace("-", " ") : "left to a person",
  ];
}

const ratio = (magnification: number): string => formatRatio(magnification);

/** Why a frame that was to be measured was not. */
export function notMeasuredLines(visits: readonly WorkedVisit[]): readonly string[] {
  return visits
    .flatMap((visit) => visit.frames)
    .flatMap(({ checked, notMeasured }) =>
      notMeasured === null ? [] : [`Not measured: ${checked.name}. ${notMeasured}`],
    );
}

/** What was planted, found or not. */
export function plantedLines(faults: readonly PlantedFault[]): string {
  return faults
    .map(
      ({ what, where, told }) =>
        `  ${told === null ? "NOT FOUND" : "found    "}  ${where}: ${what}${told ? ` → ${told}` : ""}`,
    )
    .join("\n");
}

/** The series and where their reports lie. */
export function seriesLines(series: readonly MadeSeries[]): string {
  return series
    .map(({ job, viewName, members, reportPath, noReport }) => {
      const aligned = members.filter((m) => m.alignment === null || m.alignment.aligned).length;
      const areas = members.flatMap(
        (m) => (m.corrected ?? m.measured)?.measurement.regions[0]?.areaMm2 ?? [],
      );
      const course = areas.map((a) => `${a.value.toFixed(0)} ± ${a.u95.toFixed(0)}`).join(" → ");
      return `  ${job.code} ${viewName}: ${aligned} of ${members.length} aligned; area ${course} mm²\n    ${reportPath ?? `no report: ${noReport}`}`;
    })
    .join("\n");
}

/** What the department's own repeats say of its edges. */
export function repeatsLine(own: OwnRepeats | null): string {
  if (own === null) return "Own repeats: too few to go by; edges are taken as assumed.";
  const { outlines, things, persons, edgeUMm } = own;
  return `Own repeats: ${outlines} outlines of ${things} pictures by ${persons} persons place an edge within ${edgeUMm.toFixed(2)} mm (standard deviation); the series' budgets take that or the softness of the edge, whichever is more.`;
}

/** Counts against the truth. */
export function accuracyOf(frames: readonly WorkedFrame[]): Accuracy {
  let [ratios, ratiosWithinOnePercent, areas, areasInInterval] = [0, 0, 0, 0];
  for (const frame of frames) {
    const { truth } = frame.made;
    const { scale } = frame.checked;
    if (scale.found && scale.reproductionRatio && truth.surface.leanDeg <= 10) {
      ratios++;
      const off = Math.abs(scale.reproductionRatio.value / truth.camera.magnification - 1);
      if (off <= 0.01) ratiosWithinOnePercent++;
    }
    const region = regionOf(frame);
    const area = frame.measured?.measurement.regions[0]?.areaMm2;
    if (region && area) {
      areas++;
      if (Math.abs(area.value - region.areaMm2) <= area.u95) areasInInterval++;
    }
  }
  return { ratios, ratiosWithinOnePercent, areas, areasInInterval };
}

function regionOf({ made }: WorkedFrame): RegionTruth | null {
  if (made.outlined === null) return null;
  return (
    made.truth.things.flatMap((thing) => thing.regions).find(({ name }) => name === made.outlined) ?? null
  );
}
