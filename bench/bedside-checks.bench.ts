import { appendFileSync, readFileSync } from "node:fs";
import { parseArgs } from "node:util";
import type { Planted } from "./bedside-checks/picture.ts";
import { tablesOf } from "./bedside-checks/tables.ts";
import type { Row, WorkerData } from "./bedside-checks/worker.ts";
import { rowsOfSeeds } from "./rows-of-seeds.ts";

/**
 * What a frame shows beyond its scale, on rendered frames with known truth: the same scene once as it should be and once with
 * each fault planted at several strengths. Each picture goes through JPEG and back.
 *   node bench/bedside-checks.bench.ts FIRST_SEED COUNT [--long-side PX] [--faults focus,motion] [--jsonl FILE] [--threads N]
 *   node bench/bedside-checks.bench.ts --tables FILE      the tables of an earlier run
 */
const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    "long-side": { type: "string", default: "1500" },
    faults: { type: "string" },
    jsonl: { type: "string" },
    tables: { type: "string" },
    threads: { type: "string", default: "2" },
  },
});

const FAULTS: readonly Planted[] = [
  { what: "nothing" },
  { what: "focus", blurPx: 4 },
  { what: "focus", blurPx: 8 },
  { what: "focus", blurPx: 16 },
  { what: "focus", blurPx: 8, scaleSharp: true },
  { what: "focus", blurPx: 16, scaleSharp: true },
  { what: "motion", lengthPx: 6 },
  { what: "motion", lengthPx: 12 },
  { what: "exposure", stops: -2 },
  { what: "exposure", stops: -1 },
  { what: "exposure", stops: 1 },
  { what: "exposure", stops: 2 },
  { what: "cut off", share: 0.1 },
  { what: "cut off", share: 0.2 },
  { what: "cut off", share: 0.3 },
  { what: "creases", folds: 0.7 },
  { what: "creases", folds: 1.4 },
  { what: "shadow", strength: 0.15 },
  { what: "shadow", strength: 0.3 },
  { what: "shadow", strength: 0.5 },
  { what: "side light", elevationDeg: 40 },
];

const rows = values.tables ? rowsOfFile(values.tables) : await run();
for (const line of tablesOf(rows)) process.stdout.write(`${line}\n`);

function rowsOfFile(path: string): Row[] {
  const lines = readFileSync(path, "utf8").split("\n").filter(Boolean);
  return lines.map((line) => JSON.parse(line) as Row);
}

async function run(): Promise<Row[]> {
  const [first = 3000, count = 40] = positionals.map(Number);
  const wanted = values.faults?.split(",");
  const workerData: WorkerData = {
    longSidePx: Number(values["long-side"]),
    faults: FAULTS.filter(({ what }) => what === "nothing" || (wanted?.includes(what) ?? true)),
  };
  const worker = new URL("./bedside-checks/worker.ts", import.meta.url);
  const found = await rowsOfSeeds<Row[]>(
    worker,
    { first, count },
    Number(values.threads),
    { workerData },
    (some) => {
      if (values.jsonl) appendFileSync(values.jsonl, some.map((row) => `${JSON.stringify(row)}\n`).join(""));
    },
  );
  return found.flat();
}
