/**
 * Scrolling through many frames: whether the page ever stands still for longer than a tenth of a second.
 *
 *     node bench/web/scroll.bench.ts [FRAMES]
 *
 * A library of generated rows (bench/library), each frame with a small JPEG of its own; the page is scrolled from the first to
 * the last by the wheel. Told are the browser's own long tasks (over 50 ms, clock time) and, from its trace, what the longest tasks
 * of the page's thread took of a processor: that holds also where others work on the machine. Baseline of the same run: the same
 * page over the first 100 frames.
 */
import { createHash } from "node:crypto";
import { mkdir, mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { DatabaseSync } from "node:sqlite";
import { openBrowser } from "../../apps/web/test/harness/browser.ts";
import { bringFindingUpToDate, openDesk } from "../../packages/desk/src/index.ts";
import { seededRandom } from "../../packages/geometry/src/index.ts";
import { sharp } from "../../packages/picture/src/decode/sharp.ts";
import { createPicturePool } from "../../packages/picture/src/index.ts";
import { fillTables, id } from "../library/rows.ts";
import { machine, say } from "./say.ts";
import { serveLibrary } from "./served-library.ts";

const FRAMES = Number(process.argv[2] ?? 2000);
const AIM_MS = 100;
/** Of the wheel every 40 ms or a little more: looking for a picture, and flung. */
const LOOKING_PX = 100;
const FLUNG_PX = 500;

const folder = await mkdtemp(join(tmpdir(), "samescale-bench-"));
const library = join(folder, "library");
const desk = await filled();
const pool = createPicturePool();
const { url, close } = await serveLibrary(folder, desk, pool);
const browser = await openBrowser();
try {
  say(machine());
  say(
    "| wheel | frames seen | drawn at once | long tasks (clock) | longest, ms clock | longest, ms processor |",
  );
  say("| --- | ---: | ---: | ---: | ---: | ---: |");
  for (const [until, wheelPx] of [
    [100, FLUNG_PX],
    [FRAMES, FLUNG_PX],
    [FRAMES, LOOKING_PX],
  ] as const) {
    const { seen, cells, long, longestCpuMs } = await scroll(until, wheelPx);
    const longest = Math.max(0, ...long);
    say(
      `| ${wheelPx} px | ${seen} | ${cells} | ${long.length} | ${longest.toFixed(0)} | ${longestCpuMs.toFixed(0)} |`,
    );
  }
  say(`\nAim: no task over ${AIM_MS} ms.`);
} finally {
  await browser.close();
  await close();
  await pool.close();
  await desk.close();
  await rm(folder, { recursive: true, force: true });
}

/** Rows without acts, as in the bench of finding, and one small picture for each. */
async function filled() {
  await (await openDesk(library)).close();
  const database = new DatabaseSync(join(library, "samescale.db"));
  fillTables(database, FRAMES, 7);
  const random = seededRandom(7);
  const grain = Uint8Array.from({ length: 480 * 320 * 3 }, () => 256 * random());
  // 35 kB each, as a photograph of skin of this size has.
  const base = await sharp(grain, { raw: { width: 480, height: 320, channels: 3 } })
    .blur(1.2)
    .jpeg({ quality: 80 })
    .toBuffer();
  const file = database.prepare(
    "insert into file (sha256, bytes, format, name, frame_id, stored_at) values (?, ?, 'jpeg', ?, ?, '2026-01-01T00:00:00.000Z')",
  );
  for (let n = 0; n < FRAMES; n++) {
    const bytes = Buffer.concat([base, Buffer.from(`frame ${n}`)]);
    const sha256 = createHash("sha256").update(bytes).digest("hex");
    const place = join(library, "originals", sha256.slice(0, 2), sha256.slice(2, 4));
    await mkdir(place, { recursive: true });
    await writeFile(join(place, sha256), bytes);
    file.run(sha256, bytes.length, `VC01${String(n).padStart(4, "0")}.JPG`, id("F", n));
  }
  database.close();
  const opened = await openDesk(library, { mode: "open" });
  await bringFindingUpToDate(opened, { again: true });
  return opened;
}

async function scroll(until: number, wheelPx: number) {
  const context = await browser.newContext({ viewport: { width: 1280, height: 800 } });
  const page = await context.newPage();
  page.setDefaultTimeout(120_000);
  await page.addInitScript(() => {
    const tasks: number[] = [];
    Object.assign(window, { tasks });
    new PerformanceObserver((list) =>
      tasks.push(...list.getEntries().map(({ duration }) => duration)),
    ).observe({
      type: "longtask",
    });
  });
  await page.goto(`${url}/frames`);
  const cells = page.locator("[role=gridcell][id]");
  await cells.first().waitFor();
  await page.waitForTimeout(1000);
  // What opening took is told elsewhere.
  await page.evaluate(() => (window as unknown as { tasks: number[] }).tasks.splice(0));
  await browser.startTracing(page, { categories: ["toplevel", "disabled-by-default-devtools.timeline"] });
  await page.mouse.move(400, 600);
  const seen = new Set<string>();
  for (let still = 0; still < 20 && seen.size < until; ) {
    const before = seen.size;
    for (const one of await cells.evaluateAll((all) => all.map(({ id: name }) => name))) seen.add(one);
    still = seen.size === before ? still + 1 : 0;
    await page.mouse.wheel(0, wheelPx);
    await page.waitForTimeout(40);
  }
  const trace = JSON.parse((await browser.stopTracing()).toString()) as { traceEvents: TraceEvent[] };
  const long = await page.evaluate(() => (window as unknown as { tasks: number[] }).tasks);
  const count = await cells.count();
  await context.close();
  return { seen: seen.size, cells: count, long, longestCpuMs: longestOf(trace.traceEvents) };
}

interface TraceEvent {
  readonly name: string;
  readonly ph: string;
  readonly pid: number;
  readonly tid: number;
  /** Processor time, microseconds. */
  readonly tdur?: number;
  readonly args?: { readonly name?: string };
}

/** The longest task of the threads that run pages. */
function longestOf(events: readonly TraceEvent[]): number {
  const pages = new Set(
    events
      .filter(({ name, args }) => name === "thread_name" && args?.name === "CrRendererMain")
      .map(({ pid, tid }) => `${pid}/${tid}`),
  );
  const tasks = events.filter(({ name, pid, tid }) => /RunTask/.test(name) && pages.has(`${pid}/${tid}`));
  return Math.max(0, ...tasks.map(({ tdur = 0 }) => tdur / 1000));
}
