import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import type { Browser } from "playwright-core";
import { accessibilityFaults } from "./harness/accessible.ts";
import { NO_BROWSER, openBrowser, openPage } from "./harness/browser.ts";
import { type Served, serveDemonstration } from "./harness/served.ts";

/** Two pictures are drawn and one judged, where others work on the machine too. */
const DRAWN_MS = 90_000;

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

test("a task is found badly held, put right by the keyboard, checked, and remembered in this browser", {
  skip: NO_BROWSER,
}, async () => {
  const { page, complaints, close } = await openPage(browser, `${served.url}rehearse?task=ratio`);
  await page.getByText("no patient", { exact: false }).first().waitFor();
  await page.getByText(/^Move \d+ cm closer\.$/).waitFor({ timeout: DRAWN_MS });
  assert.equal(await page.getByText("Blur on the sensor").count(), 0, "the truth is not told unasked");
  await page.getByRole("button", { name: "Check it" }).click();
  await page.getByText(/^Not yet: the ratio is/).waitFor();
  await page.getByRole("button", { name: "Hint" }).click();
  await page.getByText("only the distance is wrong", { exact: false }).waitFor();

  await page.getByRole("slider", { name: "Distance to the skin" }).focus();
  for (let press = 0; press < 8; press++) await page.keyboard.press("ArrowLeft");
  await page.getByText("Keep: the ratio is as planned.").waitFor({ timeout: DRAWN_MS });
  await page.getByRole("button", { name: "Check it" }).click();
  await page.getByText("Done.", { exact: true }).waitFor();
  await page.getByRole("button", { name: "Show What the camera really had" }).click();
  await page.getByText("Blur on the sensor").waitFor();
  assert.deepEqual(await accessibilityFaults(page), []);

  await page.evaluate(() => localStorage.setItem("samescale-light", "light"));
  await page.setViewportSize({ width: 320, height: 640 });
  await page.reload();
  await page.getByText("Task: 1 of 7 done").waitFor();
  assert.deepEqual(await accessibilityFaults(page), []);
  assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= 320));
  assert.deepEqual(complaints, []);
  await close();
});
