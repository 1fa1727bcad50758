import assert from "node:assert/strict";
import { copyFile, mkdir, rename } from "node:fs/promises";
import { join } from "node:path";
import { after, before, test } from "node:test";
import type { Browser, Page } from "playwright-core";
import { accessibilityFaults } from "./harness/accessible.ts";
import { NO_BROWSER, type OpenPage, openBrowser, openPage } from "./harness/browser.ts";
import { type Served, serveDemonstration } from "./harness/served.ts";

/** Judging takes seconds where others work on the machine too. */
const JUDGED_MS = 90_000;
const skip = NO_BROWSER;

let browser: Browser;
let served: Served;
let arriving: string;
let phone: OpenPage;
before(async () => {
  if (NO_BROWSER) return;
  [browser, served] = await Promise.all([openBrowser(), serveDemonstration()]);
  arriving = join(served.folder, "arriving");
  await mkdir(arriving);
  phone = await openPage(browser, `${served.url}bedside`, { widthPx: 360, heightPx: 740 });
});
after(async () => {
  await browser?.close();
  await served?.close();
});

/** One of the demonstration's session as a receiver writes it: under a passing name first. */
async function arrive(name: string): Promise<void> {
  await copyFile(join(served.folder, "bedside", name), join(arriving, `.${name}.part`));
  await rename(join(arriving, `.${name}.part`), join(arriving, name));
}
const says = (page: Page, text: string | RegExp) =>
  page.getByText(text).first().waitFor({ timeout: JUDGED_MS });

test("a folder that is not there is refused in words; the next one is watched; the cautions come first", {
  skip,
}, async () => {
  const { page } = phone;
  await page.getByRole("link", { name: "Begin R-108" }).click();
  await page.getByRole("heading", { level: 1, name: "Bedside R-108" }).waitFor();
  await page.getByText("Another folder").click();
  const folder = page.getByLabel("Folder on the server");
  await folder.fill(join(served.folder, "nowhere"));
  await page.getByRole("button", { name: "Begin to watch" }).click();
  await says(page, "There is no folder nowhere at that place");
  await page.getByRole("button", { name: "Put away" }).click();
  await folder.fill(arriving);
  await page.getByRole("button", { name: "Begin to watch" }).click();
  await page.getByRole("heading", { name: "Before the first frame" }).waitFor();
  await says(page, "Infection control:");
  await page.getByRole("button", { name: "Read, go on" }).click();
  await says(page, "Make the first frame: the label");
  await says(page, "Still missing: 2 of 2");
  assert.equal(await page.evaluate(() => document.documentElement.dataset.light), "dim");
});

test("verdicts come by themselves; what is missing shrinks; another device shows the same", {
  skip,
}, async () => {
  const { page } = phone;
  await arrive("VC010101.JPG");
  await says(page, "Keep: the label of R-108 is seen.");
  await arrive("VC010102.JPG");
  await says(page, "Move 3 cm back.");
  await says(page, "1:3.7, planned 1:4");
  await says(page, "Still missing: 2 of 2");
  await page.getByRole("img", { name: "Newest frame, VC010102.JPG" }).waitFor();

  const tablet = await openPage(browser, `${served.url}bedside/R-108`, { widthPx: 740, heightPx: 360 });
  await tablet.page.getByRole("button", { name: "Read, go on" }).click();
  await says(tablet.page, "Move 3 cm back.");
  await arrive("VC010103.JPG");
  await Promise.all([
    says(page, "Still missing: 1 of 2"),
    says(tablet.page, "Still missing: 1 of 2"),
    says(tablet.page, "Keep: the ratio is as planned."),
  ]);
  assert.deepEqual(await accessibilityFaults(tablet.page), []);
  assert.deepEqual(tablet.complaints, []);
  await tablet.close();
});

test("a person's word counts and can be taken back", { skip }, async () => {
  const { page } = phone;
  await page.getByRole("button", { name: "Repeat it" }).click();
  await says(page, "your word");
  await says(page, "Still missing: 2 of 2");
  await page.getByRole("button", { name: "Undo" }).click();
  await says(page, "Still missing: 1 of 2");
});

test("the ghost and the baseline are shown while held", { skip }, async () => {
  const { page } = phone;
  const ghost = page.getByRole("img", { name: "The baseline's ghost lies over the frame" });
  await page.getByRole("button", { name: "Hold: ghost" }).waitFor({ timeout: JUDGED_MS });
  assert.equal(await ghost.count(), 0);
  await page.keyboard.down("b");
  await ghost.waitFor();
  assert.ok(
    await ghost.evaluate((img: HTMLImageElement) => img.decode().then(() => img.naturalWidth > 1000)),
  );
  await page.keyboard.up("b");
  await ghost.waitFor({ state: "detached" });
  const hold = page.getByRole("button", { name: "Hold: baseline" });
  await hold.focus();
  await page.keyboard.down("Space");
  await page.getByRole("img", { name: "This is the baseline" }).waitFor();
  await page.keyboard.up("Space");
  await page.getByRole("img", { name: "This is the baseline" }).waitFor({ state: "detached" });
});

test("everything to be touched is 48 px large, the sentence 28 px, and nothing is faulty in either light", {
  skip,
}, async () => {
  const { page } = phone;
  const small = await page
    .locator("main button:visible, main a:visible")
    .evaluateAll((all) =>
      all
        .filter((one) => one.getBoundingClientRect().height < 48 && !one.closest("[role=status]"))
        .map(({ textContent }) => textContent),
    );
  assert.deepEqual(
    small.filter((text) => text !== "Go to the work"),
    [],
  );
  const px = await page
    .getByText("Keep: the ratio is as planned.")
    .first()
    .evaluate((one) => Number.parseFloat(getComputedStyle(one).fontSize));
  assert.ok(px >= 28, String(px));
  assert.deepEqual(await accessibilityFaults(page), []);
  await page.evaluate(() => localStorage.setItem("samescale-light", "light"));
  await page.setViewportSize({ width: 320, height: 640 });
  await page.reload();
  await says(page, "Keep: the ratio is as planned.");
  assert.deepEqual(await accessibilityFaults(page), []);
  assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= 320));
});

test("a server that is started anew in the middle goes on, and judges what lies there once more", {
  skip,
}, async () => {
  const { page } = phone;
  await served.restart();
  await arrive("VC010104.JPG");
  await says(page, "Swing the camera round the subject");
  await says(page, "Still missing: 1 of 2");
  await arrive("VC010105.JPG");
  await says(page, "Every view is made");
});

test("the end says what was made and what comes next", { skip }, async () => {
  const { page } = phone;
  await page.getByRole("button", { name: "Session" }).click();
  await page.getByRole("heading", { name: "5 frames, the newest first" }).waitFor();
  await page.getByRole("button", { name: "End the session" }).click();
  await says(page, "2 of 2 views were made.");
  await page.getByRole("link", { name: "Take the card in" }).click();
  await page.getByRole("heading", { level: 1, name: "Card" }).waitFor();
  assert.deepEqual(phone.complaints, []);
});
