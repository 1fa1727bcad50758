import { quantile, shareOf } from "../scale-rendered/statistics.ts";
import type { Figure, Row } from "./measured.ts";

const between = (edges: readonly number[], unit: string) => (value: number) => {
  const above = edges.findIndex((edge) => value < edge);
  const i = above < 0 ? edges.length : above;
  return `${String(edges[i - 1] ?? 0).padStart(3)} to ${edges[i] ?? "…"} ${unit}`;
};
const byLean = between([3, 10, 20], "°");
const byPixels = between([40, 80, 160, 320], "px across");
const byRatio = between([4, 5, 6], "(1:…)");

const GROUPS: Readonly<Record<string, (row: Row) => string>> = {
  scale: (r) => r.scale,
  surface: (r) => r.surface,
  subject: (r) => r.subject,
  "skin tone": (r) => `tone ${r.tone}`,
  lean: (r) => byLean(r.leanDeg),
  method: (r) => r.method ?? "not measured",
  ratio: (r) => byRatio(r.ratio),
  "focal length": (r) => `${r.focalMm} mm`.padStart(6),
  size: (r) => byPixels((r.widthMm * r.widthPx) / 36 / r.ratio),
  warning: (r) => (r.warned ? "warned of" : "no warning"),
  "L on flat skin": (r) =>
    r.scale !== "L" || r.surface !== "flat" || r.method === null
      ? "other"
      : r.leanDeg <= 20
        ? "lean up to 20°"
        : "lean above 20°",
};

/** The whole report, line by line. */
export function tables(rows: readonly Row[]): string[] {
  const lines = [
    `${"area".padEnd(26)} shown measured | true outline, error %: median   95 %  worst | drawn a little off: interval ± %, holds the truth %`,
    line("all", rows),
  ];
  for (const [name, of] of Object.entries(GROUPS)) {
    lines.push(`by ${name}`);
    for (const group of [...new Set(rows.map(of))].sort()) {
      lines.push(
        line(
          group,
          rows.filter((r) => of(r) === group),
        ),
      );
    }
  }
  const measured = rows.filter((r) => r.method !== null);
  lines.push("other figures, drawn a little off: error %: median, 95 %; interval ± %; holds the truth %");
  for (const figure of ["length", "width", "perimeter"] as const) {
    const all = measured.map((r) => r[figure]);
    const errors = all.map((f) => Math.abs(f.errorPct));
    lines.push(
      `  ${figure.padEnd(10)} ${number(quantile(errors, 0.5))} ${number(quantile(errors, 0.95))} ${interval(all)}`,
    );
  }
  const out = measured.filter((r) => !r.area.holds);
  lines.push(
    "area not inside its interval:",
    ...out.map(
      (r) =>
        `  seed ${r.seed}: ${r.scale}, ${r.surface}, ${r.leanDeg.toFixed(0)}°, ${r.method}: ${r.area.errorPct.toFixed(1)} ± ${r.area.u95Pct.toFixed(1)} % (${r.exactPct.toFixed(2)} with the true outline)`,
    ),
  );
  return lines;
}

function line(name: string, rows: readonly Row[]): string {
  const measured = rows.filter((r) => r.method !== null);
  const errors = measured.map((r) => Math.abs(r.exactPct));
  return [
    name.padEnd(26),
    String(rows.length).padStart(5),
    String(measured.length).padStart(8),
    "  ",
    number(quantile(errors, 0.5)).padStart(26),
    number(quantile(errors, 0.95)),
    number(quantile(errors, 1)),
    "  ",
    interval(measured.map((r) => r.area)).padStart(30),
  ].join(" ");
}

function interval(figures: readonly Figure[]): string {
  const held = shareOf(figures, (f) => f.holds);
  if (held.of === 0) return "-";
  const half = quantile(
    figures.map((f) => f.u95Pct),
    0.5,
  );
  return `${number(half)}  ${held.percent.toFixed(1)} (${held.least.toFixed(1)}-${held.most.toFixed(1)})`;
}

const number = (v: number) => (Number.isNaN(v) ? "-" : v.toFixed(2)).padStart(6);
