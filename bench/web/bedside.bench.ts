/**
 * From a frame's last byte to the sentence on the screen; and how soon the virtual camera's picture follows a slider.
 *
 *     node bench/web/bedside.bench.ts [FRAMES]
 *
 * Frames of the demonstration (2400 x 1600 px, each with a text of its own) are renamed into the watched folder one after the
 * other while a page shows the session; the time is taken in the page when the sentence changes. Baseline of the same
 * run: judging the same files alone, on warm threads of this program. 200 ms of every frame are waiting for the file to be still.
 */
import { mkdir, mkdtemp, rename, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { openBrowser } from "../../apps/web/test/harness/browser.ts";
import { serveDemonstration } from "../../apps/web/test/harness/served.ts";
import { judgePicture, readPracticeFolder, statedPlan } from "../../packages/desk/src/index.ts";
import { sharp } from "../../packages/picture/src/decode/sharp.ts";
import { createPicturePool, warmUp } from "../../packages/picture/src/index.ts";
import { HELD_WELL } from "../../packages/simulator/src/index.ts";
import { machine, median, percentile, say } from "./say.ts";

const frames = Number(process.argv[2] ?? 10);
const AIM_ABOVE_MS = 300;
const AIM_QUICK_MS = 400;
const JUDGED_MS = 120_000;

const [served, browser] = await Promise.all([serveDemonstration(), openBrowser()]);
const files = await mkdtemp(join(tmpdir(), "samescale-bench-"));
const arriving = join(served.folder, "arriving");
await mkdir(arriving);
const post = (path: string, body: object) =>
  fetch(`${served.url}api/${path}`, {
    method: "POST",
    headers: { "content-type": "application/json", "x-samescale": "1" },
    body: JSON.stringify(body),
  });
try {
  const shots: string[] = [];
  for (let i = 0; i < frames; i++) {
    // Kept and repeated by turns, so that the sentence changes with each.
    const from = join(served.folder, "bedside", i % 2 === 0 ? "VC010102.JPG" : "VC010103.JPG");
    const file = join(files, `F${String(i).padStart(3, "0")}.JPG`);
    const own = sharp(from)
      .keepMetadata()
      .withExifMerge({ IFD0: { ImageDescription: `frame ${i}` } });
    await writeFile(file, await own.jpeg({ quality: 92 }).toBuffer());
    shots.push(file);
  }
  await post("bedside/R-108/begin", { folder: arriving });
  const page = await (await browser.newContext({ viewport: { width: 1280, height: 800 } })).newPage();
  await page.goto(`${served.url}bedside/R-108`);
  await page.getByRole("button", { name: "Read, go on" }).click();
  await page.getByRole("img", { name: /Close-up/ }).waitFor({ timeout: JUDGED_MS });
  const shownMs: number[] = [];
  for (const file of shots) {
    const name = file.slice(-8);
    const shown = page.evaluate(
      ({ name }) =>
        new Promise<number>((told) => {
          const look = () => {
            const text = document.querySelector("main")?.textContent ?? "";
            if (text.includes(name) && !text.includes("Looking at it")) told(Date.now());
            else requestAnimationFrame(look);
          };
          look();
        }),
      { name },
    );
    const began = Date.now();
    await rename(file, join(arriving, name));
    shownMs.push((await shown) - began);
  }

  const pool = createPicturePool();
  await warmUp(pool);
  const folder = join(served.library, "practice");
  const stated = { magnification: 0.25, focalMm: 100, sensor: null };
  const plan = await statedPlan(stated, await readPracticeFolder(folder), folder);
  const aloneMs: number[] = [];
  for (const file of shots) {
    const began = performance.now();
    const at = join(arriving, file.slice(-8));
    await judgePicture(pool, at, plan.views[0]!, plan, new AbortController().signal);
    aloneMs.push(performance.now() - began);
  }
  await pool.close();
  await post("bedside/R-108/end", {});

  const timed = async (path: string, body: object): Promise<number> => {
    const began = performance.now();
    await (await post(path, body)).arrayBuffer();
    return performance.now() - began;
  };
  const quickMs: number[] = [];
  const judgedMs: number[] = [];
  for (let i = -2; i < 2 * frames; i++) {
    const ms = await timed("rehearse/quick", { held: { ...HELD_WELL, distanceMm: 480 + 2 * i } });
    if (i >= 0) quickMs.push(ms);
  }
  for (let i = -1; i < frames / 2; i++) {
    const ms = await timed("rehearse/judged", {
      held: { ...HELD_WELL, distanceMm: 480 + 4 * i },
      task: null,
    });
    if (i >= 0) judgedMs.push(ms);
  }
  const row = (what: string, ms: readonly number[], aim: string) =>
    say(`| ${what} | ${median(ms).toFixed(0)} ms | ${percentile(ms, 0.95).toFixed(0)} ms | ${aim} |`);
  say(machine());
  say("| | median | 95 % | aim |");
  say("| --- | --- | --- | --- |");
  row("judging alone (baseline)", aloneMs, "");
  row(
    "last byte to the sentence",
    shownMs,
    `${(median(aloneMs) + AIM_ABOVE_MS).toFixed(0)} ms: judging + ${AIM_ABOVE_MS} ms`,
  );
  row("rehearse, quick picture", quickMs, `${AIM_QUICK_MS} ms`);
  row("rehearse, sharp and judged", judgedMs, "");
} finally {
  await browser.close();
  await served.close();
  await rm(files, { recursive: true, force: true });
}
