import { parseArgs } from "node:util";
import { isMainThread, parentPort, workerData } from "node:worker_threads";
import { seededRandom } from "../packages/geometry/src/index.ts";
import { diceAfterClicks } from "./outline/click-rule.ts";
import { type DiceRow, diceTable } from "./outline/dice-tables.ts";
import { CASES, renderedSubject, type Subject, WIDTH_PX } from "./outline/rendered-subject.ts";
import { rowsOfSeeds } from "./rows-of-seeds.ts";

/**
 * Outlines from clicks on rendered wounds, pigmented lesions and bruises with known truth, on every skin tone of the virtual
 * camera and in three sizes; clicks exact and off by 5 and 10 px of 512.
 *   node bench/outline-rendered.bench.ts FIRST_SEED COUNT [--threads 2]
 * COUNT in whole rounds of 54: every subject on every tone in every size.
 */
const CLICKS = 3;
const JITTERS_PX = [0, 5, 10];

interface Row extends DiceRow {
  readonly seed: number;
  readonly subject: Subject;
  readonly tone: number;
  readonly size: string;
}

if (isMainThread) {
  const { positionals, values } = parseArgs({
    allowPositionals: true,
    options: {
      threads: { type: "string", default: "2" },
      each: { type: "boolean", default: false },
      exact: { type: "boolean", default: false },
    },
  });
  const [first = 0, count = CASES] = positionals.map(Number);
  const jitters = values.exact ? [0] : JITTERS_PX;
  const found = await rowsOfSeeds<Row[]>(new URL(import.meta.url), { first, count }, Number(values.threads), {
    workerData: jitters,
  });
  const rows = found.flat();
  const groups: Record<string, (row: Row) => string> = {
    subject: (r) => r.subject,
    "skin tone (1 very light to 6 dark)": (r) => `tone ${r.tone}`,
    "area at 512 px": (r) => r.size,
    "subject and tone": (r) => `${r.subject}, tone ${r.tone}`,
  };
  for (const line of diceTable(rows, groups)) process.stdout.write(`${line}\n`);
  if (values.each) {
    for (const r of rows.filter((row) => row.jitterPx === 0).sort((a, b) => a.seed - b.seed)) {
      process.stdout.write(
        `${r.seed} ${r.subject} tone ${r.tone} ${r.size}: ${r.dice.map((d) => d.toFixed(3)).join(" ")}\n`,
      );
    }
  }
} else {
  parentPort!.on("message", async (seed: number) => parentPort!.postMessage(await rowsOf(seed)));
}

async function rowsOf(seed: number): Promise<Row[]> {
  const { subject, tone, size, picture, truth } = await renderedSubject(seed);
  const random = seededRandom(seed + 1_000_000);
  return (workerData as number[]).map((jitterPx) => ({
    seed,
    subject,
    tone,
    size,
    jitterPx,
    dice: diceAfterClicks(
      picture,
      truth,
      CLICKS,
      jitterPx > 0 ? { byPx: (jitterPx * WIDTH_PX) / 512, random } : undefined,
    ),
  }));
}
