import type { ShownFigures } from "./figures.ts";

type Cell = string | number | null;

/** The figures as one table for a spreadsheet: what, of what, which number, value, unit. RFC 4180. */
export function figuresCsv(figures: ShownFigures): string {
  const { from, to, requests, months, turnaround, judged, causes, viewSets, scalesDue, unplaced } = figures;
  const rows: Cell[][] = [
    ["figure", "of", "number", "value", "unit"],
    ["days", "", "from", from, ""],
    ["days", "", "to", to, ""],
    ...Object.entries(requests).map(([number, value]) => ["requests", "", number, value, "requests"]),
    ...months.flatMap(({ month, asked, visits, released }) => [
      ["month", month, "asked", asked, "requests"],
      ["month", month, "visits", visits, "visits"],
      ["month", month, "released", released, "releases"],
    ]),
    ...turnaround.flatMap(({ of, count, leftOut, lowerQuartile, median, upperQuartile }) => [
      ["turnaround", of, "lower quartile", lowerQuartile, "days"],
      ["turnaround", of, "median", median, "days"],
      ["turnaround", of, "upper quartile", upperQuartile, "days"],
      ["turnaround", of, "counted", count, "requests"],
      ["turnaround", of, "left out", leftOut, "requests"],
    ]),
    ["judged", "", "frames", judged.frames, "frames"],
    ["judged", "", "repeats", judged.repeats, "frames"],
    ...causes.map(({ cause, frames }) => ["repeats", cause, "frames", frames, "frames"]),
    ...viewSets.flatMap((set) => [
      ["view set", set.name, "requests", set.requests, "requests"],
      ["view set", set.name, "judged", set.judged, "frames"],
      ["view set", set.name, "repeats", set.repeats, "frames"],
    ]),
    ...scalesDue.map(({ name, dueOn }) => ["scale due", name, "on", dueOn, ""]),
    ["unplaced", "", "frames", unplaced.frames, "frames"],
  ];
  return rows.map((row) => `${row.map(cell).join(",")}\r\n`).join("");
}

/** A name that a spreadsheet would take for a formula is text. */
function cell(value: Cell): string {
  if (value === null) return "";
  if (typeof value === "number") return String(Math.round(value * 100) / 100);
  const text = /^[=+\-@\t\r]/.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
