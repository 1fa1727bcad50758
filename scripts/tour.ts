/// <reference lib="dom" />
import { mkdirSync, rmSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import type { Page } from "playwright-core";
import sharp from "sharp";
import { openBrowser, openPage, type PageWanted } from "../apps/web/test/harness/browser.ts";
import { serveDemonstration } from "../apps/web/test/harness/served.ts";
import { shots } from "./tour/shots.ts";

/**
 * Makes docs/tour.md: every place of the application as the demonstration shows it, dim, light and on a phone.
 *   node scripts/tour.ts [name …]     only these; their pictures alone are made anew
 */
const root = resolve(import.meta.dirname, "..");
const folder = join(root, "docs", "images", "tour");
const wanted = process.argv.slice(2);

const looks: readonly (PageWanted & { readonly look: string })[] = [
  { look: "dim", light: "dim", widthPx: 1280, heightPx: 800 },
  { look: "light", light: "light", widthPx: 1280, heightPx: 800 },
  { look: "phone", light: "dim", widthPx: 360, heightPx: 740 },
];

const served = await serveDemonstration();
const browser = await openBrowser();
const faults: string[] = [];
try {
  if (wanted.length === 0) rmSync(folder, { recursive: true, force: true });
  mkdirSync(folder, { recursive: true });
  for (const { look, ...how } of looks) {
    const { page, complaints, close } = await openPage(browser, served.url, how);
    for (const { name, open } of shots.filter((shot) => wanted.length === 0 || wanted.includes(shot.name))) {
      try {
        await open(page, served.folder);
        await settled(page);
        await withoutPaths(page);
        await keep(await page.screenshot(), join(folder, `${name}-${look}.webp`));
      } catch (thrown) {
        faults.push(`${name}, ${look}: ${(thrown as Error).message.split("\n")[0]}`);
      }
      faults.push(...complaints.splice(0).map((complaint) => `${name}, ${look}: ${complaint}`));
    }
    await close();
  }
} finally {
  await browser.close();
  await served.close();
}
writeFileSync(join(root, "docs", "tour.md"), tourPage());
for (const fault of faults) process.stdout.write(`${fault}\n`);
process.exitCode = faults.length > 0 ? 1 : 0;

/** Nothing on its way any more. */
async function settled(page: Page): Promise<void> {
  await page.waitForLoadState("load");
  const loading = page.getByText("Loading", { exact: true });
  while ((await loading.count()) > 0) await page.waitForTimeout(100);
  await page.waitForTimeout(700);
}

/** Where the demonstration lies for this run tells nobody anything. */
async function withoutPaths(page: Page): Promise<void> {
  await page.evaluate((own) => {
    const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let text = texts.nextNode(); text; text = texts.nextNode()) {
      if (text.nodeValue?.includes(own))
        text.nodeValue = text.nodeValue.replaceAll(own, "/srv/demonstration");
    }
  }, served.folder);
}

async function keep(png: Buffer, file: string): Promise<void> {
  await sharp(png).webp({ quality: 82 }).toFile(file);
}

function tourPage(): string {
  const parts = shots.map(
    ({ name, title, says }) =>
      `## ${title}\n\n${says}\n\n![${title}, dim](images/tour/${name}-dim.webp)\n\n` +
      `<img src="images/tour/${name}-light.webp" alt="${title}, light" width="640"> ` +
      `<img src="images/tour/${name}-phone.webp" alt="${title}, on a phone" width="180">\n`,
  );
  return `# A tour of the application

Every place in the order of the day, as \`bin/samescale demo\` shows it: dim, light, and on a phone. Department, patients and pictures are
invented. Made by \`node scripts/tour.ts\`.

${parts.join("\n")}`;
}
