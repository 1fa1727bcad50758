import { appendFileSync } from "node:fs";
import { parseArgs } from "node:util";
import { FORMATS } from "./label/cases.ts";
import type { Row } from "./label/worker.ts";
import { rowsOfSeeds } from "./rows-of-seeds.ts";

/**
 * How well codes are read that are turned, small, blurred, wrapped round a wrist, noisy, burnt out by a reflection, or
 * several in one picture: drawn by a general library, photographed by arithmetic, read back from JPEG. A text that
 * nobody printed counts as wrong, whatever else was read.
 *   node bench/label-difficult.bench.ts [FIRST_SEED] [SEEDS] [--only WORDS] [--keep FOLDER] [--jsonl FILE] [--threads N]
 */
const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    only: { type: "string" },
    keep: { type: "string" },
    jsonl: { type: "string" },
    threads: { type: "string", default: "2" },
  },
});
const [firstSeed = 1, seeds = 1] = positionals.map(Number);
const rows = (
  await rowsOfSeeds<Row[]>(
    new URL("./label/worker.ts", import.meta.url),
    { first: 0, count: 1000 * seeds },
    Number(values.threads),
    { workerData: { firstSeed, keepIn: values.keep, only: values.only } },
    (some) => {
      if (values.jsonl) for (const row of some) appendFileSync(values.jsonl, `${JSON.stringify(row)}\n`);
    },
  )
).flat();

const print = (line: string) => process.stdout.write(`${line}\n`);
const part = (some: readonly Row[]) =>
  some.length === 0 ? "" : `${some.filter(({ found }) => found).length}/${some.length}`;
const columns = (first: string, cells: readonly string[]) => `| ${[first, ...cells].join(" | ")} |`;
print(columns("condition", ["level", ...FORMATS, "all", "wrong", "median ms"]));
print(
  columns(
    "---",
    Array.from({ length: FORMATS.length + 4 }, () => "---"),
  ),
);
for (const [condition, ofCondition = []] of Map.groupBy(rows, (row) => row.condition)) {
  const levels =
    condition === "angle" ? [["all", ofCondition] as const] : [...Map.groupBy(ofCondition, (r) => r.level)];
  for (const [level, some = []] of levels) print(line(condition, level, some));
}
print(line("all", "", rows));
for (const row of rows.filter(({ wrong }) => wrong.length > 0)) print(`wrong: ${JSON.stringify(row)}`);

function line(condition: string, level: string, some: readonly Row[]): string {
  const cells = FORMATS.map((format) => part(some.filter((row) => row.format === format)));
  const wrong = some.flatMap((row) => row.wrong).length;
  const ms = some.map((row) => row.ms).sort((a, b) => a - b)[Math.floor(some.length / 2)] ?? 0;
  return columns(condition, [level, ...cells, part(some), String(wrong), ms.toFixed(0)]);
}
