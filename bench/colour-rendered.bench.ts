import { appendFileSync, readFileSync } from "node:fs";
import { parseArgs } from "node:util";
import type { Row } from "./colour-rendered/row.ts";
import { tablesOf } from "./colour-rendered/tables.ts";
import type { WorkerData } from "./colour-rendered/worker.ts";
import { rowsOfSeeds } from "./rows-of-seeds.ts";

/**
 * How surely the 24-patch chart is found in rendered pictures with known truth, and how well its colours are corrected,
 * by every group that may matter; a fifth of the pictures hold no chart. Each picture goes through JPEG and back.
 *   node bench/colour-rendered.bench.ts FIRST_SEED COUNT [--jsonl FILE] [--keep FOLDER] [--threads N]
 *   node bench/colour-rendered.bench.ts --tables FILE      the tables of an earlier run
 */
const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
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
  const [first = 20000, count = 100] = positionals.map(Number);
  const workerData: WorkerData = values.keep ? { keepIn: values.keep } : {};
  const worker = new URL("./colour-rendered/worker.ts", import.meta.url);
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
