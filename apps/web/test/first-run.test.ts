import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import type { Browser } from "playwright-core";
import { accessibilityFaults } from "./harness/accessible.ts";
import { NO_BROWSER, openBrowser, openPage } from "./harness/browser.ts";
import { type Served, serveEmpty } from "./harness/served.ts";

let browser: Browser;
let served: Served;
before(async () => {
  if (NO_BROWSER) return;
  [browser, served] = await Promise.all([openBrowser(), serveEmpty()]);
});
after(async () => {
  await browser?.close();
  await served?.close();
});

test("from an empty library to a department with its own kit, alone on this machine", {
  skip: NO_BROWSER,
}, async () => {
  const { page, complaints, close } = await openPage(browser, served.url);
  await page.getByRole("heading", { level: 1, name: "Three steps to a working department" }).waitFor();
  assert.deepEqual(await accessibilityFaults(page), []);

  await page.getByLabel("Name of the department").fill("North Ward Photography");
  await page.getByText("Ten digits, the last one checks the others").click();
  await page.getByLabel("Try it with a number").fill("943 476 5918");
  await page.getByText("its check character is wrong").waitFor();
  await page.getByLabel("Try it with a number").fill("943 476 5919");
  await page.getByText("its check character is right").waitFor();
  await page.getByRole("button", { name: "Go on" }).click();

  await page.getByRole("heading", { level: 2, name: "Kit" }).waitFor();
  assert.deepEqual(await accessibilityFaults(page), []);
  await page.getByRole("button", { name: "Go on" }).click();
  await page
    .getByText(/Not written, as the practice would not hold/)
    .first()
    .waitFor();
  await page.getByLabel("Sensor, mm").fill("36x24");
  await page.getByLabel("Pixels").fill("6000x4000");
  await page.getByLabel("Focal length, mm").fill("100");
  await page.getByLabel("Greatest reproduction ratio").fill("1:1");
  await page.getByLabel("Closest focus, mm").fill("290");
  await page.getByLabel("Smallest f-number").fill("2.8");
  await page.getByLabel("Largest f-number").fill("32");
  await page.getByRole("button", { name: "Go on" }).click();

  await page.getByRole("heading", { level: 2, name: "People" }).waitFor();
  assert.deepEqual(await accessibilityFaults(page), []);
  await page.getByRole("button", { name: "Go to Today" }).click();
  await page.getByRole("heading", { level: 1, name: "Today" }).waitFor();

  const { folder } = await page.evaluate(async () => (await fetch("/api/practice")).json());
  assert.match(folder, /practice$/);
  const { things } = await page.evaluate(async () => (await fetch("/api/practice/kit")).json());
  assert.deepEqual(
    things.map(({ id }: { id: string }) => id),
    ["body-1", "macro-lens"],
  );
  // The new kit plans: a request's day begins with it.
  await page.goto(`${served.url}practice/kit`);
  await page.getByText("36 × 24 mm sensor").waitFor();
  assert.deepEqual(complaints, []);
  await close();
});
