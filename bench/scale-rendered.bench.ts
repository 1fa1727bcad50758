import { appendFileSync, readFileSync } from "node:fs";
import { parseArgs } from "node:util";
import { rowsOfSeeds } from "./rows-of-seeds.ts";
import type { Row } from "./scale-rendered/row.ts";
import { tablesOf } from "./scale-rendered/tables.ts";
import type { WorkerData } from "./scale-rendered/worker.ts";

/**
 * How well scales are read in rendered pictures with known truth, by every group that may matter; with --clutter, how
 * often a scale is found where there is none. Each picture goes through JPEG and back.
 *   node bench/scale-rendered.bench.ts FIRST_SEED COUNT [--clutter] [--jsonl FILE] [--keep FOLDER] [--threads N]
 *   node bench/scale-rendered.bench.ts --tables FILE      the tables of an earlier run
 * --keep leaves the pictures in a folder and takes them from there the next time: rendering is the longer part.
 *
 * The seeds 900000 to 900999 (scales) and 910000 to 910999 (clutter) are kept for one scoring at the end of the work on
 * the reading. Nobody looks at them before: no run, no picture, no number.
 */
const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    clutter: { type: "boolean", default: false },
    jsonl: { type: "string" },
    keep: { type: "string" },
    tables: { type: "string" },
    threads: { type: "string", default: "2" },
  },
});

const rows = values.tables ? rowsOfFile(values.tables) : await run();
for (const line of tablesOf(rows)) process.stdout.write(`${line}\n`);

function rowsOfFile(path: string): Row[] {
  const lines = readFileSync(path, "utf8").split("\n").filter(Boolean);
  return lines.map((line) => JSON.parse(line) as Row);
}

async function run(): Promise<Row[]> {
  const [first = 5000, count = 100] = positionals.map(Number);
  const workerData: WorkerData = { clutter: values.clutter, ...(values.keep && { keepIn: values.keep }) };
  const worker = new URL("./scale-rendered/worker.ts", import.meta.url);
  const found = await rowsOfSeeds<Row>(
    worker,
    { first, count },
    Number(values.threads),
    { workerData },
    (row) => {
      if (values.jsonl) appendFileSync(values.jsonl, `${JSON.stringify(row)}\n`);
    },
  );
  return found.sort((a, b) => a.seed - b.seed);
}
