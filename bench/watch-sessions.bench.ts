import { writeFileSync } from "node:fs";
import { availableParallelism } from "node:os";
import { rowsOfSeeds } from "./rows-of-seeds.ts";
import { FINDING, type Planted } from "./watch-sessions/planted.ts";
import type { Row } from "./watch-sessions/worker.ts";

/**
 * Rendered sessions with planted faults at twice the threshold, watched as at the bedside by the starting practice: which
 * faults are found by their name, which only as something else, which are missed, and how often a good frame is refused.
 *   node bench/watch-sessions.bench.ts [first seed, 300000] [sessions, 200] [--rows FILE]
 */
const [first = 300_000, count = 200] = process.argv.slice(2, 4).map(Number).filter(Number.isFinite);
const keep = process.argv.indexOf("--rows");
const threads = Math.min(2, availableParallelism());
const out = (line: string) => process.stdout.write(`${line}\n`);

const began = performance.now();
const sessions = await rowsOfSeeds<Row[]>(
  new URL("./watch-sessions/worker.ts", import.meta.url),
  { first, count },
  threads,
);
const rows = sessions.flat();
if (keep > 0) writeFileSync(process.argv[keep + 1]!, rows.map((row) => JSON.stringify(row)).join("\n"));
const good = rows.filter(({ planted }) => planted === "nothing");
const alarms = good.filter(({ verdict }) => verdict !== "keep");
const bad = rows.filter(({ planted }) => planted !== "nothing");
out(
  `${count} sessions, seeds ${first} to ${first + count - 1}: ${rows.length} frames, ${((performance.now() - began) / 1000).toFixed(0)} s`,
);
out("");
out("| planted, twice the threshold | frames | told by its name | told as something else | missed |");
out("| --- | ---: | ---: | ---: | ---: |");
for (const planted of Object.keys(FINDING) as Exclude<Planted, "nothing">[]) {
  const of = bad.filter((row) => row.planted === planted);
  if (of.length > 0) out(line(planted, of));
}
out(line("all", bad));
out("");
out(
  `Good frames refused: ${alarms.length} of ${good.length} (${percent(alarms.length, good.length)}), of them as a repeat ${alarms.filter(({ verdict }) => verdict === "repeat").length}.`,
);
for (const { seed, kind, verdict, say } of alarms.slice(0, 40))
  out(`  seed ${seed} ${kind}: ${verdict}: ${say}`);
out("Missed:");
for (const row of bad.filter((one) => told(one) === "missed").slice(0, 60)) {
  out(
    `  seed ${row.seed} ${row.kind}, ${row.planted}: ${row.verdict}: ${row.say} ${row.notJudged.join("; ")}`,
  );
}

function told({ planted, verdict, findings }: Row): "name" | "else" | "missed" {
  // What is only noted does not keep anybody from keeping the frame.
  if (verdict !== "keep" && findings.includes(FINDING[planted as Exclude<Planted, "nothing">])) return "name";
  return verdict === "keep" ? "missed" : "else";
}

function line(name: string, of: readonly Row[]): string {
  const named = of.filter((row) => told(row) === "name").length;
  const other = of.filter((row) => told(row) === "else").length;
  const missed = of.length - named - other;
  return `| ${name} | ${of.length} | ${named} (${percent(named, of.length)}) | ${other} | ${missed} |`;
}

function percent(part: number, whole: number): string {
  return whole === 0 ? "–" : `${((100 * part) / whole).toFixed(1)} %`;
}
