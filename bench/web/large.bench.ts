/**
 * A picture of 60 megapixels in Measure: how soon it stands, how soon a tile comes, how soon an outline answers.
 *
 *     node bench/web/large.bench.ts
 *
 * A rendered wound beside a scale, enlarged to 9504 x 6336 px with grain, taken in and opened by the page from its list, with
 * nothing of it cut before; the server has shown one other picture, so that its threads are warm. It stands when the last tile of its first view is there. Then it is looked at closely and moved about,
 * so that tiles of every level are asked for. Times of tiles are the browser's own (from asking to the last byte). Outlines
 * are answered by the page's own thread; the time is from the step to its answer. Baseline of the same run: cutting
 * the whole picture into tiles alone, on a warm thread of this program.
 */
import { mkdir, mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { openBrowser } from "../../apps/web/test/harness/browser.ts";
import { actorOfThisMachine, openDesk, takeIn } from "../../packages/desk/src/index.ts";
import { sharp } from "../../packages/picture/src/decode/sharp.ts";
import { createPicturePool } from "../../packages/picture/src/index.ts";
import {
  renderPicture,
  standardCamera,
  standardScene,
  standardSkin,
} from "../../packages/simulator/src/index.ts";
import { machine, median, percentile, say } from "./say.ts";
import { serveLibrary } from "./served-library.ts";

const WIDTH_PX = 9504;
const HEIGHT_PX = 6336;
const AIM = { opensMs: 2000, tileMedianMs: 50, tile95Ms: 250, outlineMs: 300 };

/** What the page's thread of outlines was asked and answered, with times of the page. */
interface Asked {
  readonly id: number;
  readonly askedMs: number;
  answeredMs?: number;
}

interface Tile {
  readonly level: number;
  readonly ms: number;
  readonly endMs: number;
}

const folder = await mkdtemp(join(tmpdir(), "samescale-bench-"));
const desk = await openDesk(join(folder, "library"));
const pool = createPicturePool();
const card = join(folder, "card");
const file = join(card, "DCIM", "VC010001.JPG");
const within = await makePicture();
const actor = await actorOfThisMachine(desk, "bench");
for await (const _ of takeIn({
  desk,
  actor,
  cards: [card],
  pictures: pool,
  secondPlace: { is: "one copy is enough" },
}));
const frameId = await frameOf("VC010001.JPG");
const smallId = await frameOf("VC010002.JPG");

const { url, close } = await serveLibrary(folder, desk, pool);
const browser = await openBrowser();
try {
  await cut();
  const cutMs = await cut();
  const page = await (await browser.newContext({ viewport: { width: 1440, height: 900 } })).newPage();
  page.setDefaultTimeout(120_000);
  await page.addInitScript(watchOutlines);
  await page.goto(`${url}/measure/${smallId}`);
  await page.getByText("Click in its middle").waitFor();
  await quiet(page);
  await page.goto(`${url}/measure`);
  const link = page.locator(`a[href="/measure/${frameId}"]`);
  await link.waitFor();
  await page.waitForTimeout(1000);
  const clickedMs = await page.evaluate(() => performance.now());
  await link.click();
  await page.getByText("Click in its middle").waitFor();
  const opened = await quiet(page);
  const opensMs = Math.max(...opened.map(({ endMs }) => endMs)) - clickedMs;

  const picture = (await page.getByRole("application").boundingBox())!;
  const at = (x: number, y: number) =>
    [picture.x + x * picture.width, picture.y + y * picture.height] as const;
  await page.mouse.move(...at(0.5, 0.5));
  for (let step = 0; step < 24; step++) {
    await page.mouse.wheel(0, step < 12 ? -240 : 240);
    await page.waitForTimeout(150);
    if (step === 11) {
      for (const key of ["ArrowRight", "ArrowDown", "ArrowLeft", "ArrowLeft"]) {
        for (let n = 0; n < 6; n++) await page.keyboard.press(key);
        await page.waitForTimeout(500);
      }
    }
  }
  const tiles = await quiet(page);
  const ms = tiles.map((tile) => tile.ms);
  const levels = new Set(tiles.map(({ level }) => level));
  await page.getByRole("button", { name: "Whole picture" }).click();
  const clicks = [
    [0, 0],
    [0.02, 0],
    [0, 0.02],
    [-0.02, 0],
    [0, -0.02],
    [0.015, 0.015],
    [-0.015, -0.015],
  ] as const;
  const outlineMs: number[] = [];
  for (const [x, y] of clicks) {
    await page.mouse.click(...at(within[0] + x, within[1] + y));
    await page.waitForFunction((count) => {
      const { asked } = window as unknown as { asked: Asked[] };
      return asked.length === count && asked.every(({ answeredMs }) => answeredMs !== undefined);
    }, outlineMs.length + 1);
    const all = await page.evaluate(() => (window as unknown as { asked: Asked[] }).asked);
    const { askedMs, answeredMs } = all.at(-1)!;
    outlineMs.push(answeredMs! - askedMs);
  }

  const [first, ...later] = outlineMs;

  say(machine());
  say("| | measured | aim |");
  say("| --- | --- | --- |");
  say(`| cutting the whole picture alone (baseline) | ${cutMs.toFixed(0)} ms | |`);
  say(
    `| from the click on its line to the whole first view (${opened.length} tiles) | ${opensMs.toFixed(0)} ms; ${(opensMs / cutMs).toFixed(2)} of the baseline | ${AIM.opensMs} ms |`,
  );
  const seen = `${ms.length} tiles of ${levels.size} levels`;
  say(
    `| a tile, from opening until it was looked at everywhere (${seen}) | median ${median(ms).toFixed(0)} ms, 95 % ${percentile(ms, 0.95).toFixed(0)} ms | ${AIM.tileMedianMs} ms, ${AIM.tile95Ms} ms |`,
  );
  say(`| first outline | ${first!.toFixed(0)} ms | |`);
  say(
    `| outlines after it (${later.length}) | median ${median(later).toFixed(0)} ms, longest ${Math.max(...later).toFixed(0)} ms | ${AIM.outlineMs} ms |`,
  );
} finally {
  await browser.close();
  await close();
  await pool.close();
  await desk.close();
  await rm(folder, { recursive: true, force: true });
}

async function frameOf(name: string): Promise<string> {
  const files = desk.library.read.selectFrom("file").select("frame_id");
  return (await files.where("name", "=", name).executeTakeFirstOrThrow()).frame_id!;
}

async function cut(): Promise<number> {
  const to = await mkdtemp(join(folder, "cut-"));
  const began = performance.now();
  await pool.run("tiles", { file, folder: join(to, "whole") });
  return performance.now() - began;
}

/** @returns a point within the wound, in shares of the frame's sides */
async function makePicture(): Promise<readonly [number, number]> {
  const camera = standardCamera({ widthPx: WIDTH_PX / 6, heightPx: HEIGHT_PX / 6 });
  const placement = { xMm: 14, yMm: 9, rotateDeg: 18 };
  const scene = standardScene({
    skin: standardSkin({ tone: 2, seed: 20411 }),
    things: [
      { kind: "wound", id: "wound", placement, seed: 5, lengthMm: 42, widthMm: 28, healed: 0 },
      { kind: "l-scale", placement: { xMm: -30, yMm: -24, rotateDeg: 0 }, legMm: 60 },
    ],
  });
  const { rgb, widthPx, heightPx, truth } = await renderPicture({ scene, camera, seed: 11 });
  await mkdir(join(card, "DCIM"), { recursive: true });
  const raw = { width: widthPx, height: heightPx, channels: 3 } as const;
  await sharp(rgb, { raw })
    .jpeg({ quality: 90 })
    .toFile(join(card, "DCIM", "VC010002.JPG"));
  await sharp(rgb, { raw })
    .resize({ width: WIDTH_PX, height: HEIGHT_PX, kernel: "cubic" })
    .jpeg({ quality: 90 })
    .toFile(file);
  const ring = truth.things.flatMap(({ regions }) => regions)[0]!.outlinePx;
  const mean = (axis: 0 | 1) => ring.reduce((sum, at) => sum + at[axis]!, 0) / ring.length;
  return [mean(0) / widthPx, mean(1) / heightPx];
}

/** The tiles so far, once none came for a second. */
async function quiet(page: Page): Promise<Tile[]> {
  for (let before = -1; ; ) {
    const tiles = await tilesOf(page);
    if (tiles.length > 0 && tiles.length === before) return tiles;
    before = tiles.length;
    await page.waitForTimeout(1000);
  }
}

async function tilesOf(page: Page): Promise<Tile[]> {
  return await page.evaluate(() =>
    (performance.getEntriesByType("resource") as PerformanceResourceTiming[])
      .filter(({ name }) => name.includes("/tiles/"))
      .map(({ name, startTime, responseEnd }) => ({
        level: Number(name.match(/tiles\/(\d+)\//)![1]),
        ms: responseEnd - startTime,
        endMs: responseEnd,
      })),
  );
}

/** Runs in the page: notes when its thread of outlines was asked and when it answered. */
function watchOutlines(): void {
  const asked: Asked[] = [];
  Object.assign(window, { asked });
  const Plain = window.Worker;
  window.Worker = class extends Plain {
    constructor(...given: ConstructorParameters<typeof Plain>) {
      super(...given);
      this.addEventListener("message", ({ data }) => {
        const one = asked.find(({ id }) => id === data.id);
        if (one) one.answeredMs = performance.now();
      });
    }
    override postMessage(message: { kind?: string; id: number; steps?: unknown[] }, ...rest: never[]): void {
      if (message.kind === "steps" && message.steps!.length > 0) {
        asked.push({ id: message.id, askedMs: performance.now() });
      }
      super.postMessage(message, ...rest);
    }
  };
}
