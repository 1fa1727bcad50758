import { quantile } from "../scale-rendered/statistics.ts";

/** Dice after each click of one subject, clicked once. */
export interface DiceRow {
  readonly jitterPx: number;
  readonly dice: readonly number[];
}

/** A line for each group and jitter: how many, then median and 10th percentile after each click. */
export function diceTable<Row extends DiceRow>(
  rows: readonly Row[],
  groups: Record<string, (row: Row) => string>,
) {
  const lines: string[] = [];
  for (const [name, groupOf] of Object.entries({ all: (_: Row) => "", ...groups })) {
    lines.push(name === "all" ? "all" : `by ${name}`);
    for (const group of [...new Set(rows.map(groupOf))].sort()) {
      for (const jitterPx of [...new Set(rows.map((r) => r.jitterPx))].sort((a, b) => a - b)) {
        lines.push(
          lineOf(
            group,
            jitterPx,
            rows.filter((r) => groupOf(r) === group && r.jitterPx === jitterPx),
          ),
        );
      }
    }
  }
  return lines;
}

function lineOf(group: string, jitterPx: number, rows: readonly DiceRow[]): string {
  const after = rows[0]?.dice.map((_, k) => rows.map((r) => r.dice[k]!)) ?? [];
  const figures = [0.5, 0.1].map((q) => after.map((values) => quantile(values, q).toFixed(3)).join(" "));
  return `  ${group.padEnd(20)} ${jitterPx === 0 ? "exact" : `${jitterPx} px`.padStart(5)} ${String(rows.length).padStart(5)}   median ${figures[0]}   10th percentile ${figures[1]}`;
}
