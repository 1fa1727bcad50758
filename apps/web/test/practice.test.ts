import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { after, before, test } from "node:test";
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

const setFile = () => readFile(join(served.library, "practice", "view-sets", "leg-wound.yaml"), "utf8");

test("a view's ratio: its fault is told while it is typed, a right one is saved as the next version and taken back", {
  skip: NO_BROWSER,
}, async () => {
  const { page, complaints, close } = await openPage(browser, `${served.url}practice/views`);
  await page.getByRole("link", { name: /Wound of the lower leg, series(?! with)/ }).click();
  await page
    .getByRole("heading", { level: 1, name: "Wound of the lower leg, series", exact: true })
    .waitFor();
  const before = await setFile();
  const ratio = page.getByLabel("Reproduction ratio");
  await ratio.fill("1:1000");
  await page.getByText("expected 1:200 to 5:1").first().waitFor();
  assert.equal(await page.getByRole("button", { name: "Save as version 2" }).isDisabled(), true);
  await ratio.fill("1:12");
  await page.getByRole("button", { name: "Save as version 2" }).click();
  await page.getByText("Saved. Plans made before").waitFor();
  const after = await setFile();
  assert.match(after, /ratio: 1:12/);
  assert.match(after, /version: 2/);
  await page.getByRole("button", { name: "Undo" }).click();
  await page.getByText("Taken back.").waitFor();
  assert.equal(await setFile(), before);
  assert.deepEqual(complaints, []);
  await close();
});

test("a thing of the kit is said to be empty with one touch; a broken one is told apart", {
  skip: NO_BROWSER,
}, async () => {
  const { page, complaints, close } = await openPage(browser, `${served.url}practice/kit`);
  await page
    .getByText("Charged: Body 1", { exact: true })
    .or(page.getByRole("checkbox", { name: "Charged: Body 1" }))
    .first()
    .waitFor();
  await page.getByRole("checkbox", { name: "Charged: Body 1" }).first().click({ force: true });
  await page.getByText("charge it").first().waitFor();
  await page.getByRole("button", { name: "Change Body 1" }).first().click();
  const dialog = page.getByRole("dialog");
  await dialog.getByLabel("Out for repair: what is wrong").fill("shutter");
  await dialog.getByRole("button", { name: "Save" }).click();
  await page.getByText("is broken: shutter").first().waitFor();
  assert.deepEqual(complaints, []);
  await close();
});

test("every place of Practice: nothing inaccessible in either light, nothing wider than a phone", {
  skip: NO_BROWSER,
}, async () => {
  const places = [
    "",
    "/views",
    "/views/leg-wound",
    "/kit",
    "/people",
    "/wording",
    "/retention",
    "/keeping",
    "/figures",
  ];
  for (const light of ["dim", "light"] as const) {
    // Tall on a phone, so that nothing lies under the row of places when it is looked at as a whole.
    const wanted = light === "dim" ? { light } : { light, widthPx: 320, heightPx: 6000 };
    const { page, complaints, close } = await openPage(browser, `${served.url}practice`, wanted);
    for (const place of places) {
      await page.goto(`${served.url}practice${place}`);
      await page.getByRole("heading", { level: 1 }).waitFor();
      await page.getByText("Loading", { exact: true }).first().waitFor({ state: "detached" });
      assert.deepEqual(await accessibilityFaults(page), [], `${light} ${place}`);
      const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      assert.ok(wide <= 0, `${place} is ${wide} px too wide`);
    }
    assert.deepEqual(complaints, []);
    await close();
  }
});

test("the demonstration goes in one act, and the page goes on over an empty library", {
  skip: NO_BROWSER,
}, async () => {
  // Another page is open meanwhile, as on the desk beside the ward's tablet.
  const other = await openPage(browser, `${served.url}frames`);
  const { page, close } = await openPage(browser, `${served.url}practice/remove-demonstration`);
  const remove = page.getByRole("button", { name: "Remove everything" });
  await remove.waitFor();
  assert.equal(await remove.isDisabled(), true);
  const asks = await page.getByLabel(/^To go on, type/).textContent();
  assert.equal(asks, "");
  const department = (await page.getByText(/^To go on, type/).textContent())!.replace("To go on, type ", "");
  await page.getByLabel(/^To go on, type/).fill(department);
  await remove.click();
  await page
    .getByRole("heading", { level: 1, name: "Three steps to a working department" })
    .waitFor({ timeout: 60_000 });
  assert.equal(await page.getByText("are invented").count(), 0);
  await other.close();
  await close();
});
