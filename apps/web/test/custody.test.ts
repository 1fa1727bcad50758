import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { after, before, test } from "node:test";
import { unzipSync } from "fflate";
import type { Browser } from "playwright-core";
import { accessibilityFaults } from "./harness/accessible.ts";
import { NO_BROWSER, openBrowser, openPage } from "./harness/browser.ts";
import { type Served, serveDemonstration } from "./harness/served.ts";

let browser: Browser;
let served: Served;
before(async () => {
  if (NO_BROWSER) return;
  [browser, served] = await Promise.all([openBrowser(), serveDemonstration()]);
});
after(async () => {
  await browser?.close();
  await served?.close();
});

test("everything is verified; against a head that does not fit, what does not hold is told line by line", {
  skip: NO_BROWSER,
}, async () => {
  const { page, complaints, close } = await openPage(browser, `${served.url}custody`);
  await page.getByRole("button", { name: "Verify now" }).click();
  await page.getByText("Everything holds").waitFor();
  const head = (await page.getByText(/^\d+:[0-9a-f]{64}$/).textContent())!;
  assert.deepEqual(await accessibilityFaults(page), []);
  await page.getByText("Against a head that was kept elsewhere").click();
  await page.getByLabel("Number and hash").fill("17");
  await page.keyboard.press("Enter");
  await page.getByText("This is not a head of the log").waitFor();
  const [size, hash] = head.split(":") as [string, string];
  await page
    .getByLabel("Number and hash")
    .fill(`${size}:${hash.startsWith("0") ? "1" : "0"}${hash.slice(1)}`);
  await page.keyboard.press("Enter");
  await page.getByText(/things? do(es)? not hold/).waitFor();
  assert.deepEqual(await accessibilityFaults(page), []);
  assert.deepEqual(complaints, []);
  await close();
});

test("a frame's story is found, walked by key, and its proofs are saved", { skip: NO_BROWSER }, async () => {
  const { page, complaints, close } = await openPage(browser, `${served.url}custody`, { light: "light" });
  await page.getByLabel("Its name").fill("VC010024");
  await page.keyboard.press("Enter");
  await page.getByRole("link", { name: "VC010024" }).first().click();
  await page.getByRole("heading", { level: 1, name: "Frame VC010024" }).waitFor();
  const acts = page.getByRole("listitem").filter({ hasText: /entry \d+$/ });
  await acts.first().getByText("a card was begun to be taken in").waitFor();
  await page.keyboard.press("j");
  await page.keyboard.press("j");
  assert.equal(await acts.nth(1).getAttribute("aria-current"), "true");
  assert.match(page.url(), /entry=\d+/);
  await page.keyboard.press("k");
  assert.equal(await acts.nth(0).getAttribute("aria-current"), "true");
  await page.getByRole("img", { name: "Frame VC010024" }).waitFor();
  assert.deepEqual(await accessibilityFaults(page), []);
  const saved = page.waitForEvent("download");
  await page.keyboard.press("p");
  const names = Object.keys(unzipSync(await readFile(await (await saved).path())));
  assert.ok(names.includes("HOW-TO-CHECK.txt"), names.join());
  await page.goto(`${served.url}custody/frame/none`);
  await page.getByText("The library has no such frame").waitFor();
  assert.deepEqual(complaints, []);
  await close();
});

test("the log is filtered, tells that it is, and fits a phone", { skip: NO_BROWSER }, async () => {
  const { page, complaints, close } = await openPage(browser, `${served.url}custody?act=consent`, {
    widthPx: 320,
  });
  const entries = page.getByRole("listitem").filter({ hasText: /entry \d+/ });
  await entries.first().waitFor();
  for (const text of await entries.allTextContents()) assert.match(text, /consent|refusal|portrayed/);
  await page.getByText("Filtered: other entries are not shown.").waitFor();
  await page.getByLabel("Day").fill("1999-01-01");
  await page.keyboard.press("Enter");
  await page.getByText("No entry fits.").waitFor();
  assert.match(page.url(), /day=1999-01-01/);
  await page.getByRole("button", { name: "Leave all out" }).click();
  await page.getByRole("button", { name: "Older entries" }).waitFor();
  assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth));
  assert.deepEqual(await accessibilityFaults(page), []);
  assert.deepEqual(complaints, []);
  await close();
});
