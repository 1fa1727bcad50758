import assert from "node:assert/strict";
import { mkdir, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { after, before, test } from "node:test";
import type { Browser } from "playwright-core";
import sharp from "sharp";
import { NO_BROWSER, openBrowser, openPage } from "./harness/browser.ts";
import { type Served, serveEmpty } from "./harness/served.ts";

const LONG = process.env.SAMESCALE_LONG === "1";
const FILES = 5000;
/** Of them pictures; the rest is what somebody drops by mistake: notes, lists, empty files. */
const PICTURES = 500;
/** A person who dropped the wrong folder wants to stop it at once. */
const ANSWERED_MS = 1000;

let browser: Browser;
let served: Served;
before(async () => {
  if (NO_BROWSER || !LONG) return;
  [browser, served] = await Promise.all([openBrowser(), serveEmpty()]);
});
after(async () => {
  await browser?.close();
  await served?.close();
});

async function manyFiles(): Promise<string> {
  const folder = join(served.folder, "brought", "EVERYTHING");
  await mkdir(folder, { recursive: true });
  const speck = { width: 64, height: 48, channels: 3 } as const;
  for (let nth = 0; nth < FILES; nth++) {
    const name = String(nth).padStart(5, "0");
    if (nth % (FILES / PICTURES) !== 0) await writeFile(join(folder, `${name}.txt`), `note ${nth}`);
    else {
      const background = { r: nth % 256, g: nth >> 8, b: 128 };
      await writeFile(
        join(folder, `${name}.jpg`),
        await sharp({ create: { ...speck, background } })
          .jpeg()
          .toBuffer(),
      );
    }
  }
  return folder;
}

test(`${FILES} files are dropped: the page answers all the while, it is stopped and gone on with, and all are told`, {
  skip: NO_BROWSER || (LONG ? false : "only with SAMESCALE_LONG=1"),
}, async (t) => {
  const folder = await manyFiles();
  const { page, complaints, close } = await openPage(browser, `${served.url}card`);
  const chooser = page.waitForEvent("filechooser");
  await page.getByRole("button", { name: "Choose a card or folder" }).click();
  await (await chooser).setFiles(folder);
  await page.getByText(/^\d+ of 5,?000 files/).waitFor();
  const longest = async () => {
    const began = performance.now();
    await page.keyboard.press("l");
    await page.evaluate(() => new Promise(requestAnimationFrame));
    return performance.now() - began;
  };
  const waits: number[] = [];
  for (let times = 0; times < 10; times++) {
    waits.push(await longest());
    await page.waitForTimeout(300);
  }
  t.diagnostic(`longest wait for an answer while sending: ${Math.max(...waits).toFixed(0)} ms`);
  assert.ok(Math.max(...waits) < ANSWERED_MS);
  await page.getByRole("button", { name: "Stop" }).click();
  await page.getByRole("button", { name: "Go on" }).click();
  const began = performance.now();
  await page
    .getByText(/may be emptied|Do not empty the card/)
    .first()
    .waitFor({ timeout: 15 * 60_000 });
  t.diagnostic(
    `sent, taken in and compared within ${((performance.now() - began) / 1000).toFixed(0)} s more`,
  );
  assert.deepEqual(complaints, []);
  await close();
});
