/**
 * From a frame's last byte to the sentence on the screen; and how soon the virtual camera's picture follows a slider.
 *
 *     node bench/web/bedside.bench.ts [FRAMES]
 *
 * Frames of the demonstration (2400 x 1600 px, each with a text of its own) are renamed into the watched folder one after the
 * other while a page shows the session; the time is taken in the page when the sentence changes. Most are of the view that
 * is expected next, held wrong; some are of one that is kept already, which is found out only while it is judged. Baseline of
 * the same run: judging the first kind alone by the same plan, on warm threads of this program. 200 ms of every frame are
 * waiting for the file to be still.
 */
import { mkdir, mkdtemp, rename, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { basename, join } from "node:path";
import { openBrowser } from "../../apps/web/test/harness/browser.ts";
import { serveDemonstration } from "../../apps/web/test/harness/served.ts";
import { judgePicture, openDesk, readPracticeFolder, watchPlanOf } from "../../packages/desk/src/index.ts";
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
  const copiesOf = async (fileName: string, count: number): Promise<string[]> => {
    const made: string[] = [];
    for (let i = 0; i < count; i++) {
      const file = join(files, `${fileName.slice(0, -4)}-${i}.JPG`);
      const own = sharp(join(served.folder, "bedside", fileName))
        .keepMetadata()
        .withExifMerge({ IFD0: { ImageDescription: `frame ${i}` } });
      await writeFile(file, await own.jpeg({ quality: 92 }).toBuffer());
      made.push(file);
    }
    return made;
  };
  const next = await copiesOf("VC010102.JPG", frames);
  const another = await copiesOf("VC010103.JPG", 1 + frames / 2);
  await post("bedside/R-108/begin", { folder: arriving });
  const page = await (await browser.newContext({ viewport: { width: 1280, height: 800 } })).newPage();
  await page.goto(`${served.url}bedside/R-108`);
  await page.getByRole("button", { name: "Read, go on" }).click();
  await page.getByRole("img", { name: /Close-up/ }).waitFor({ timeout: JUDGED_MS });
  async function untilSaid(file: string): Promise<number> {
    const name = basename(file);
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
    return (await shown) - began;
  }
  const nextMs: number[] = [];
  for (const file of next) nextMs.push(await untilSaid(file));
  const anotherMs: number[] = [];
  for (const file of another) anotherMs.push(await untilSaid(file));
  anotherMs.shift(); // kept: from here on the other view is expected

  const desk = await openDesk(served.library);
  const pool = createPicturePool();
  await warmUp(pool);
  const practice = join(served.library, "practice");
  const plan = await watchPlanOf(
    desk,
    { name: "bench", role: "photographer", personId: null },
    pool,
    "R-108",
    await readPracticeFolder(practice),
    practice,
  );
  const aloneMs: number[] = [];
  for (const file of next) {
    const began = performance.now();
    const at = join(arriving, basename(file));
    await judgePicture(pool, at, plan.views[0]!, plan, new AbortController().signal);
    aloneMs.push(performance.now() - began);
  }
  await pool.close();
  await desk.close();
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
  const aimMs = (median(aloneMs) + AIM_ABOVE_MS).toFixed(0);
  row("last byte to the sentence", nextMs, `${aimMs} ms: judging + ${AIM_ABOVE_MS} ms`);
  row("the same, of a view that was not expected", anotherMs, "");
  row("rehearse, quick picture", quickMs, `${AIM_QUICK_MS} ms`);
  row("rehearse, sharp and judged", judgedMs, "");
} finally {
  await browser.close();
  await served.close();
  await rm(files, { recursive: true, force: true });
}
