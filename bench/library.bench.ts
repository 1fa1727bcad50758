/**
 * Lists, searches and filters over a library of generated rows: 10,000, 100,000 and 1,000,000 frames in one run.
 *
 *     node bench/library.bench.ts [FRAMES…]
 *
 * The rows of patients, requests, intakes and frames are loaded straight into the tables, without acts and without seals: this
 * measures finding, not writing, and `verify` would rightly refuse such a library. The index is then made from them as
 * `samescale find --rebuild` makes it. Seeded: the same rows every time.
 */
import { mkdtempSync, rmSync, statSync } from "node:fs";
import { cpus, tmpdir } from "node:os";
import { join } from "node:path";
import { DatabaseSync } from "node:sqlite";
import { type Actor, bringFindingUpToDate, type Desk, find, openDesk } from "@samescale/desk";
import { type Asked, asked } from "./library/questions.ts";
import { fillTables } from "./library/rows.ts";

const SIZES = process.argv.slice(2).map(Number);
const sizes = SIZES.length > 0 ? SIZES : [10_000, 100_000, 1_000_000];
const ROUNDS = 7;

const say = (text: string) => process.stdout.write(`${text}\n`);
say(
  `${cpus().length} × ${cpus()[0]?.model ?? "processor"}, SQLite ${new DatabaseSync(":memory:").prepare("select sqlite_version() as v").get()?.v}, seed 7, ${ROUNDS} rounds each\n`,
);

const table = new Map<string, number[]>();
for (const frames of sizes) {
  const folder = mkdtempSync(join(tmpdir(), "samescale-bench-"));
  try {
    await measure(join(folder, "library"), frames);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
const ratio = sizes.map((size) => `${size.toLocaleString("en")}`).join(" | ");
say(
  `| 95th percentile, ms | ${ratio} | last : first |\n| --- | ${sizes.map(() => "---:").join(" | ")} | ---: |`,
);
for (const [name, times] of table) {
  const by = (times.at(-1) as number) / (times[0] as number);
  say(`| ${name} | ${times.map((time) => time.toFixed(1)).join(" | ")} | ${by.toFixed(1)} |`);
}
const worst = Math.max(
  ...[...table].filter(([name]) => name !== "opening").map(([, times]) => times.at(-1) ?? 0),
);
say(
  `\nWorst of all lists, searches and filters at ${sizes.at(-1)?.toLocaleString("en")} frames: ${worst.toFixed(1)} ms (aim 50).`,
);

async function measure(folder: string, frames: number): Promise<void> {
  await (await openDesk(folder)).close();
  const file = join(folder, "samescale.db");
  const database = new DatabaseSync(file);
  const loaded = await timed(async () => fillTables(database, frames, 7));
  database.close();
  let desk = await openDesk(folder, { mode: "open" });
  const built = await timed(() => bringFindingUpToDate(desk, { again: true }));
  await desk.close();
  const opening: number[] = [];
  for (let round = 0; round < ROUNDS; round++) {
    opening.push(await timed(async () => (await openDesk(folder, { mode: "open" })).close()));
  }
  note("opening", opening);
  desk = await openDesk(folder, { mode: "open" });
  for (const question of asked(frames)) await ask(desk, question);
  await desk.close();
  const size = (statSync(file).size / 1e6).toFixed(0);
  say(
    `${frames.toLocaleString("en")} frames: rows ${(loaded / 1000).toFixed(1)} s, index ${(built / 1000).toFixed(1)} s, database ${size} MB`,
  );
}

async function ask(desk: Desk, { name, actor, wanted }: Asked): Promise<void> {
  const times: number[] = [];
  for (let round = 0; round < ROUNDS; round++) {
    for (const one of wanted) times.push(await timed(() => find(desk, actor as Actor, one)));
  }
  note(name, times);
}

function note(name: string, times: readonly number[]): void {
  const sorted = times.toSorted((a, b) => a - b);
  const p95 = sorted[Math.min(sorted.length - 1, Math.ceil(0.95 * sorted.length) - 1)] as number;
  table.set(name, [...(table.get(name) ?? []), p95]);
}

async function timed(work: () => Promise<unknown>): Promise<number> {
  const began = performance.now();
  await work();
  return performance.now() - began;
}
