import assert from "node:assert/strict";
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

test("the day is told in one look: overdue, today by time, what each lacks, and where the next step is done", {
  skip: NO_BROWSER,
}, async () => {
  const { page, complaints, close } = await openPage(browser, served.url);
  await page.getByRole("heading", { level: 2, name: /^Overdue 2/ }).waitFor();
  const today = page
    .getByRole("region")
    .or(page.locator("section"))
    .filter({
      has: page.getByRole("heading", { level: 2, name: /^Today/ }),
    });
  const codes = (await today.first().getByRole("listitem").allTextContents())
    .map((text) =>
      text
        .match(/^(\d\d:\d\d).*?(R-\d+)/)
        ?.slice(1)
        .join(" "),
    )
    .filter((each) => each !== undefined);
  assert.deepEqual(codes, ["13:00 R-109", "13:45 R-111", "14:30 R-108", "15:15 R-110"]);
  await page.getByText("in isolation: gown and gloves").waitFor();
  await page.getByText("Nobody has been asked about the health record; a child").waitFor();
  await page.getByText("R-111 has no plan: nothing is packed for it").waitFor();
  await page.getByRole("link", { name: "Plan R-111" }).click();
  await page.waitForURL("**/requests/R-111?show=plan");
  await page.getByRole("tab", { name: "Plan", selected: true }).waitFor();
  await page.goBack();
  await page.getByRole("link", { name: /to be asked back/ }).waitFor();
  assert.deepEqual(complaints, []);
  await close();
});

test("by keyboard from request to request, to a new one, and back", { skip: NO_BROWSER }, async () => {
  const { page, complaints, close } = await openPage(browser, served.url);
  await page.getByRole("link", { name: "Iris Marlowe" }).waitFor();
  await page.keyboard.press("ArrowDown");
  await page.keyboard.press("ArrowDown");
  assert.equal(await page.evaluate(() => document.activeElement?.textContent), "Arthur Penhallow");
  await page.keyboard.press("ArrowUp");
  await page.keyboard.press("Enter");
  await page.getByRole("heading", { level: 1, name: "Iris Marlowe" }).waitFor();
  await page.goBack();
  await page.getByRole("heading", { level: 1, name: "Today" }).waitFor();
  await page.keyboard.press("n");
  await page.getByRole("heading", { level: 1, name: "Take a request" }).waitFor();
  assert.deepEqual(complaints, []);
  await close();
});

test("the bag: a tick stays for the day, all can be taken away and put back", {
  skip: NO_BROWSER,
}, async () => {
  const { page, complaints, close } = await openPage(browser, served.url);
  const mirror = page.getByRole("checkbox", { name: /Floor mirror/ });
  await mirror.waitFor();
  assert.match((await mirror.evaluate((box) => box.closest("label")?.textContent)) ?? "", /clean it/);
  await page.getByText(/^0 of \d+ packed$/).waitFor();
  await page.getByText(/1 × Body 1/).click();
  await page.getByText(/^1 of \d+ packed$/).waitFor();
  await page.reload();
  await page.getByText(/^1 of \d+ packed$/).waitFor();
  await page.getByRole("button", { name: "Take all ticks away" }).click();
  await page.getByText(/^0 of \d+ packed$/).waitFor();
  await page.getByRole("button", { name: "Undo" }).click();
  await page.getByText(/^1 of \d+ packed$/).waitFor();
  assert.deepEqual(complaints, []);
  await close();
});

for (const [light, widthPx] of [
  ["dim", 1280],
  ["light", 320],
] as const) {
  test(`no accessibility fault, nothing runs out of the page: ${light}, ${widthPx} px`, {
    skip: NO_BROWSER,
  }, async () => {
    const { page, close } = await openPage(browser, served.url, { light, widthPx });
    await page.getByText(/packed$/).waitFor();
    assert.deepEqual(await accessibilityFaults(page), []);
    assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth));
    await close();
  });
}
