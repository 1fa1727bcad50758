import { SCALE_TOLERANCE_U } from "../../packages/picture/src/scale/tolerance.ts";
import type { ClutterFacts, ScaleFacts } from "../../packages/simulator/src/index.ts";
import { type Against, covers, isScaleRow, isSilentError, type Row, relativeError } from "./row.ts";
import { quantile, shareOf } from "./statistics.ts";

type ScaleRow = Row<ScaleFacts>;

/** The groups by which scales are told apart; one picture may be in several of a kind. */
const GROUPS: Readonly<Record<string, (facts: ScaleFacts) => readonly string[]>> = {
  kind: (f) => [f.kind],
  material: (f) => [f.material],
  polarity: (f) => [f.polarity],
  numerals: (f) => [f.numerals],
  lean: (f) => [band(f.leanDeg, [3, 20, 35, 46], "°")],
  pitch: (f) => [band(f.pitchPx, [3, 4, 6, 12, 24, 1000], " px")],
  condition: (f) => (f.conditions.length > 0 ? f.conditions : ["none"]),
  seen: (f) => [f.part ? "in part" : "whole"],
};

function band(value: number, limits: readonly number[], unit: string): string {
  const at = limits.findIndex((limit) => value < limit);
  const from = at === 0 ? 0 : limits[at - 1];
  return `${String(from).padStart(2)} to ${limits[at]}${unit}`;
}

/** Everything that is printed of a run. */
export function tablesOf(rows: readonly Row[]): string[] {
  const scales = rows.filter(isScaleRow);
  const clutter = rows.filter((row): row is Row<ClutterFacts> => !isScaleRow(row));
  return [
    ...(scales.length > 0 ? scaleTables(scales) : []),
    ...(clutter.length > 0 ? clutterTable(clutter) : []),
  ];
}

function scaleTables(rows: readonly ScaleRow[]): string[] {
  const told = rows.filter((row) => row.facts.unitTold);
  const lines = ["scales whose unit the picture tells", HEADER, line("all", told)];
  for (const [name, groupsOf] of Object.entries(GROUPS)) {
    lines.push(`by ${name}`, ...grouped(told, groupsOf).map(([group, of]) => line(group, of)));
  }
  lines.push("", ...coverage(told), "", ...severalScales(told), "", ...untold(rows));
  lines.push("", ...silentErrors(rows));
  return lines;
}

const HEADER = `${"".padEnd(22)} shown found warned  none silent  median %    95 %    99 %  px/mm held        read ms`;

function line(name: string, rows: readonly ScaleRow[]): string {
  const found = rows.filter((r) => r.answer === "found");
  const exact = found.filter((r) => r.scales[0]!.exact);
  const errors = exact.map((r) => 100 * relativeError(r.scales[0]!));
  const number = (v: number, width: number) => (Number.isNaN(v) ? "-" : v.toFixed(3)).padStart(width);
  return [
    name.padEnd(22),
    String(rows.length).padStart(5),
    String(found.length).padStart(5),
    String(rows.filter((r) => r.answer === "warned").length).padStart(6),
    String(rows.filter((r) => r.answer === "not found").length).padStart(5),
    String(rows.filter(isSilentError).length).padStart(6),
    number(quantile(errors, 0.5), 9),
    number(quantile(errors, 0.95), 7),
    number(quantile(errors, 0.99), 7),
    ` ${held(exact, (r) => covers(r.scales[0]!))}`.padEnd(18),
    String(
      Math.round(
        quantile(
          rows.map((r) => r.readMs),
          0.5,
        ),
      ),
    ).padStart(7),
  ].join(" ");
}

function held<T>(all: readonly T[], which: (one: T) => boolean): string {
  const s = shareOf(all, which);
  return s.of > 0 ? `${s.percent.toFixed(1)} (${s.least.toFixed(1)}-${s.most.toFixed(1)})` : "-";
}

function coverage(rows: readonly ScaleRow[]): string[] {
  const found = rows.filter((r) => r.answer === "found" && r.scales[0]!.exact);
  const lean = found.flatMap((r) => (r.leanDeg ? [r.leanDeg] : []));
  const facing = found.flatMap((r) => (r.facing ? [{ ...r.facing, leanDeg: r.facts.leanDeg }] : []));
  const upTo30 = facing.filter((f) => f.leanDeg <= 30).map((f) => 100 * relativeError(f));
  const all = found.flatMap((r) => r.scales);
  const leanErrors = lean.map((l) => Math.abs(l.value - (l.truth ?? 0)));
  const over = (errors: readonly number[]) =>
    `median ${quantile(errors, 0.5).toFixed(3)}, 95 % ${quantile(errors, 0.95).toFixed(3)}, largest ${quantile(errors, 1).toFixed(3)}`;
  return [
    "share of 95 % intervals that hold the truth (binomial 95 % interval), found without warning, flat scales:",
    `  px/mm  ${found.length}: ${held(found, (r) => covers(r.scales[0]!))}`,
    `  px/mm, without the scale's own tolerance: ${held(found, (r) => holdsByFit(r.scales[0]!))}`,
    `  px/mm, every scale reported: ${held(all, covers)}`,
    `  ratio  ${facing.length}: ${held(facing, covers)}`,
    `  lean   ${lean.length}: ${held(lean, covers)}`,
    `lean error, degrees, where a plane is told: ${over(leanErrors)}; within 1 degree ${held(leanErrors, (e) => e <= 1)}`,
    `ratio error up to 30 degrees, %: ${over(upTo30)}; within 1 % ${held(upTo30, (e) => e <= 1)}`,
  ];
}

/** Whether what the reading alone leaves open, without how the scale is made, holds a perfect scale's truth. */
function holdsByFit({ value, u95, truth }: Against): boolean {
  const fit = Math.sqrt(Math.max(0, u95 ** 2 - (2 * SCALE_TOLERANCE_U * value) ** 2));
  return truth !== null && Math.abs(value - truth) <= fit;
}

function severalScales(rows: readonly ScaleRow[]): string[] {
  const several = rows.filter((r) => r.facts.scales > 1 && r.answer !== "not found");
  const missed = several.filter((r) => r.scales.length < r.facts.scales);
  return [
    `pictures with two scales, at least one read: ${several.length}; only one edge reported: ${missed.length}`,
  ];
}

/** Nobody could tell: silence, or a warning with an interval that holds the truth, is the right answer. */
function untold(rows: readonly ScaleRow[]): string[] {
  const lines = grouped(
    rows.filter((r) => !r.facts.unitTold),
    (f) => [f.kind],
  ).map(([kind, of]) => {
    const count = (which: (row: ScaleRow) => boolean) => String(of.filter(which).length).padStart(7);
    return [
      kind.padEnd(22),
      String(of.length).padStart(5),
      count((r) => r.answer === "not found"),
      count((r) => r.answer === "warned" && r.scales.every(covers)),
      count((r) => r.answer === "warned" && !r.scales.every(covers)),
      count((r) => r.answer === "found" && !isSilentError(r)),
      count(isSilentError),
    ].join(" ");
  });
  return [
    "unit not told by the picture",
    `${"".padEnd(22)} shown    none  warned, held  not held   guessed right, wrong`,
    ...lines,
  ];
}

function silentErrors(rows: readonly Row[]): string[] {
  return [
    "silent errors (more than 2 % off, no warning):",
    ...rows.filter(isSilentError).map((r) => {
      const worst = r.scales.reduce((a, b) => (relativeError(b) > relativeError(a) ? b : a));
      return `  seed ${r.seed}, ${r.facts.kind}: read ${worst.value.toFixed(3)} ${worst.unit}, true ${worst.truth?.toFixed(3) ?? "no scale there"}`;
    }),
  ];
}

function clutterTable(rows: readonly Row<ClutterFacts>[]): string[] {
  const all = grouped(rows, (f) => [f.kind]);
  const lines = [["all", rows] as const, ...all].map(([kind, of]) => {
    const count = (answer: Row["answer"]) => String(of.filter((r) => r.answer === answer).length).padStart(7);
    return `${kind.padEnd(22)} ${String(of.length).padStart(5)} ${count("found")} ${count("warned")} ${count("not found")}`;
  });
  const silent = rows.filter((r) => r.answer === "found").map((r) => `${r.seed} (${r.facts.kind})`);
  return [
    "clutter",
    `${"".padEnd(22)} shown  silent  warned    none`,
    ...lines,
    `found in silence: ${silent.join(", ") || "none"}`,
  ];
}

function grouped<Facts extends ScaleFacts | ClutterFacts>(
  rows: readonly Row<Facts>[],
  groupsOf: (facts: Facts) => readonly string[],
): [string, Row<Facts>[]][] {
  const groups = new Map<string, Row<Facts>[]>();
  for (const row of rows) {
    for (const group of groupsOf(row.facts)) groups.set(group, [...(groups.get(group) ?? []), row]);
  }
  return [...groups].sort(([a], [b]) => (a < b ? -1 : 1));
}
