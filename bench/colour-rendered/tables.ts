import { quantile } from "../scale-rendered/statistics.ts";
import type { Facts, Row } from "./row.ts";

/** The groups by which pictures are told apart; one picture may be in several of a kind. */
const GROUPS: Readonly<Record<string, (facts: Facts) => readonly string[]>> = {
  length: (f) => [band(f.lengthPx, [0, 95, 120, 180, 300, 3000], " px")],
  turn: (f) => [band(Math.abs(f.turnDeg), [45, 90, 135, 181], "°")],
  lean: (f) => [band(f.leanDeg, [2, 15, 30, 51], "°")],
  side: (f) => [f.mirrored ? "mirrored" : "as it is"],
  light: (f) => [f.light],
  condition: (f) => (f.conditions.length > 0 ? f.conditions : ["none"]),
};

function band(value: number, limits: readonly number[], unit: string): string {
  const at = limits.findIndex((limit) => value < limit);
  return `${String(at === 0 ? 0 : limits[at - 1]).padStart(3)} to ${limits[at]}${unit}`;
}

/** Everything that is printed of a run. */
export function tablesOf(rows: readonly Row[]): string[] {
  const of = (group: Facts["group"]) => rows.filter((r) => r.facts.group === group);
  const whole = of("chart");
  const bare = of("no chart");
  const proper = whole.filter((r) => r.facts.properlyExposed && r.deltaE00);
  const lines = ["whole charts", HEADER, line("all", whole), line("properly exposed", proper)];
  for (const [name, groupsOf] of Object.entries(GROUPS)) {
    lines.push(`by ${name}`, ...grouped(whole, groupsOf).map(([group, some]) => line(group, some)));
  }
  lines.push(
    "other pictures",
    line("part of a chart", of("part of a chart")),
    line("two charts", of("two charts")),
  );
  const taken = bare.filter((r) => r.answer !== "none");
  lines.push(`no chart               ${bare.length} pictures, a chart found in ${taken.length}`);
  const bad = rows.filter((r) => r.answer === "wrong place" || r.mirroredRight === false);
  lines.push("in the wrong place, or mirrored wrongly:", ...(bad.length > 0 ? bad.map(told) : ["  none"]));
  const missed = whole.filter((r) => r.answer === "not found" || r.answer === "refused");
  lines.push("whole charts not found or refused:", ...(missed.length > 0 ? missed.map(told) : ["  none"]));
  return lines;
}

const HEADER = `${"".padEnd(22)} shown right wrong  none refus  worst corner   ΔE00 before  cross-validated mean, 95 %, worst       s`;

function line(name: string, rows: readonly Row[]): string {
  const count = (answer: Row["answer"]) => String(rows.filter((r) => r.answer === answer).length).padStart(5);
  const right = rows.filter((r) => r.answer === "right");
  const cross = right.flatMap((r) => (r.deltaE00 ? [r.deltaE00.crossValidated] : []));
  const mean = (values: readonly number[]) => values.reduce((s, v) => s + v, 0) / values.length;
  const show = (v: number, width: number) => (Number.isFinite(v) ? v.toFixed(2) : "-").padStart(width);
  return [
    name.padEnd(22),
    String(rows.length).padStart(5),
    count("right"),
    count("wrong place"),
    count("not found"),
    count("refused"),
    show(Math.max(...right.map((r) => r.worstCorner ?? 0)), 13),
    show(mean(right.flatMap((r) => (r.deltaE00 ? [r.deltaE00.before] : []))), 14),
    show(mean(cross), 16),
    show(quantile(cross, 0.95), 8),
    show(Math.max(...cross), 8),
    show(
      quantile(
        rows.map((r) => r.seconds),
        0.5,
      ),
      9,
    ),
  ].join(" ");
}

const told = ({ seed, facts, answer, worstCorner, says }: Row): string =>
  `  seed ${seed}: ${answer}, ${facts.group}, ${Math.round(facts.lengthPx)} px, lean ${Math.round(facts.leanDeg)}°${facts.mirrored ? ", mirrored" : ""}, ${facts.light}, ${facts.conditions.join(" + ") || "nothing besides"}${worstCorner === null ? "" : `, corner ${worstCorner.toFixed(2)}`}${says.length > 0 ? `: ${says.join("; ")}` : ""}`;

function grouped(rows: readonly Row[], groupsOf: (facts: Facts) => readonly string[]): [string, Row[]][] {
  const groups = new Map<string, Row[]>();
  for (const row of rows) {
    for (const group of groupsOf(row.facts)) groups.set(group, [...(groups.get(group) ?? []), row]);
  }
  return [...groups].sort(([a], [b]) => (a < b ? -1 : 1));
}
