import { appendFileSync, existsSync, readFileSync } from "node:fs";
import { parseArgs } from "node:util";
import type { Case } from "./measure-rendered/cases.ts";
import { measured } from "./measure-rendered/measured.ts";
import { tables } from "./measure-rendered/tables.ts";
import { rowsOfSeeds } from "./rows-of-seeds.ts";

/**
 * Areas measured in rendered pictures of wounds and lesions with known truth: the scale is read from the pixels, the
 * outline is the true one for the errors, and for the intervals drawn too far out or in by what is stated of it. Scales
 * lie up to 2 mm above the skin and lenses distort by up to 0.3 % in the corner, as the budget assumes.
 *   node bench/measure-rendered.bench.ts FIRST_SEED COUNT [--cases FILE] [--threads N]
 * `--cases` keeps what was rendered and read, so that measuring can be tried again in seconds.
 */
const { positionals, values } = parseArgs({
  allowPositionals: true,
  options: { cases: { type: "string" }, threads: { type: "string", default: "2" } },
});
const [first = 0, count = 40] = positionals.map(Number);
/** The renderer's memory grows with every picture: a thread is let go after so many. */
const AT_ONCE = 60;

const kept = casesIn(values.cases);
const wanted = Array.from({ length: count }, (_, i) => first + i);
for (let from = first; from < first + count; from += AT_ONCE) {
  const seeds = { first: from, count: Math.min(AT_ONCE, first + count - from) };
  const missing = wanted.filter((s) => s >= from && s < from + seeds.count && !kept.has(s));
  if (missing.length === 0) continue;
  const range = { first: missing[0]!, count: missing.at(-1)! - missing[0]! + 1 };
  const worker = new URL("./measure-rendered/cases.ts", import.meta.url);
  await rowsOfSeeds<Case>(worker, range, Number(values.threads), {}, (found) => {
    kept.set(found.seed, found);
    if (values.cases) appendFileSync(values.cases, `${JSON.stringify(found)}\n`);
  });
}
const rows = wanted.flatMap((seed) => kept.get(seed) ?? []).map(measured);
for (const line of tables(rows)) process.stdout.write(`${line}\n`);

function casesIn(file: string | undefined): Map<number, Case> {
  if (!file || !existsSync(file)) return new Map();
  const lines = readFileSync(file, "utf8").split("\n").filter(Boolean);
  return new Map(lines.map((text) => JSON.parse(text) as Case).map((one) => [one.seed, one]));
}
