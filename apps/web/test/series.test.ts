import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import type { Browser, Page } from "playwright-core";
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

const at = (path: string) => `${served.url}${path}`;
const shown = async (page: Page, name: string | RegExp) => {
  const picture = page.getByRole("img", { name }).first();
  await picture.waitFor();
  await picture.evaluate((img: HTMLImageElement) => img.decode());
};

test("every visit at one scale, a gap where a view was not made, every number with its interval, no judgement", {
  skip: NO_BROWSER,
}, async () => {
  const { page, complaints, close } = await openPage(browser, at("series"));
  await page.getByRole("link", { name: "R-101" }).click();
  await page.getByRole("heading", { level: 1, name: "Series R-101" }).waitFor();
  await shown(page, "Visit of 2026-03-02, baseline");
  await shown(page, "Visit of 2026-04-13, follow-up");
  await page.getByText("This view was not made").first().waitFor();
  const row = page
    .getByRole("table")
    .first()
    .getByRole("row", { name: /^2026-03-16/ });
  // As the demonstration's own report prints them.
  assert.match((await row.textContent()) ?? "", /1:5\s*663 ± 38\s*38.4 ± 0.8\s*23.2 ± 0.8/);
  await page.getByText("by more than the uncertainty of measuring").first().waitFor();
  await page.getByText("What a change means is for the clinician.").waitFor();
  await page.getByRole("img", { name: /Area over time, 4 visits measured, 1 not/ }).waitFor();
  const answers = page.getByRole("region", { name: "The same ratio? Two answers" }).last();
  assert.match((await answers.textContent()) ?? "", /0\.800 ± 0\.004.*0\.800 ± 0\.002.*They agree/);
  assert.doesNotMatch((await page.locator("main").textContent()) ?? "", /\bheals\b|healing well|improv/i);
  assert.deepEqual(complaints, []);
  await close();
});

test("side by side, blink by hand without motion, a split moved by keys, a difference that says what grey means", {
  skip: NO_BROWSER,
}, async () => {
  const { page, complaints, close } = await openPage(browser, at("series/R-101?way=side"));
  await shown(page, "Visit of 2026-04-13, follow-up");
  await page.keyboard.press("ArrowLeft");
  await shown(page, "Visit of 2026-03-30, follow-up");
  await page.keyboard.press("b");
  await page.getByText("Shown: 2026-03-02, baseline").waitFor();
  // The system asks for no motion: it stands still until somebody changes it.
  await page.waitForTimeout(1500);
  assert.ok(await page.getByText("Shown: 2026-03-02, baseline").isVisible());
  assert.equal(await page.getByRole("button", { name: "Stop" }).count(), 0);
  await page.getByRole("button", { name: "Show the other" }).click();
  await page.getByText("Shown: 2026-03-30, follow-up").waitFor();
  await page.getByRole("heading", { level: 1 }).click();
  await page.keyboard.press("v");
  const edge = page.getByRole("slider", { name: /Edge between/ });
  await edge.focus();
  await page.keyboard.press("End");
  await page.getByText("100 % from the left").waitFor();
  await page.getByRole("heading", { level: 1 }).click();
  await page.keyboard.press("d");
  await shown(page, "Visit of 2026-03-30, difference");
  await page.getByText("Grey: the skin is as light as before.", { exact: false }).waitFor();
  await page.goBack();
  await page.getByRole("slider", { name: /Edge between/ }).waitFor();
  assert.deepEqual(complaints, []);
  await close();
});

test("blinking changes at most once a second and stops at once", { skip: NO_BROWSER }, async () => {
  const { page, complaints, close } = await openPage(browser, at("series/R-101?way=blink"));
  await page.emulateMedia({ reducedMotion: "no-preference" });
  await page.getByRole("button", { name: "Stop" }).waitFor();
  assert.deepEqual(
    await page
      .getByRole("radio")
      .evaluateAll((radios) =>
        radios.flatMap((radio) => (radio as HTMLInputElement).value.match(/^\d$/) ?? []),
      ),
    ["1", "2", "3"],
  );
  await page.getByRole("button", { name: "Stop" }).click();
  const now = await page.getByText(/^Shown: /).textContent();
  await page.waitForTimeout(2500);
  assert.equal(await page.getByText(/^Shown: /).textContent(), now);
  assert.deepEqual(complaints, []);
  await close();
});

test("a report leaves by the one way out and is fetched with its receipt; three points lay a picture over", {
  skip: NO_BROWSER,
}, async () => {
  const { page, complaints, close } = await openPage(browser, at("series/R-102?view=life-size"));
  await page.getByRole("button", { name: "Report as PDF" }).click();
  await page.getByRole("button", { name: "Make it" }).click();
  const fetch = page.getByRole("link", { name: "Fetch R-102-life-size.pdf" });
  await fetch.waitFor();
  const [download] = await Promise.all([page.waitForEvent("download"), fetch.click()]);
  const { readFile } = await import("node:fs/promises");
  assert.equal((await readFile(await download.path())).subarray(0, 5).toString(), "%PDF-");
  await page.keyboard.press("Escape");

  await page.goto(at("series/R-102?view=life-size&way=side&points=1"));
  const [baseline, followup] = [
    page.getByLabel("baseline 2026-03-02"),
    page.getByLabel("follow-up 2026-06-01"),
  ];
  for (const [right, down] of [
    [0, 0],
    [8, 0],
    [0, 8],
  ] as const) {
    for (const picture of [baseline, followup]) {
      await picture.focus();
      for (let i = 0; i < right; i++) await page.keyboard.press("Shift+ArrowRight");
      for (let i = 0; i < down; i++) await page.keyboard.press("Shift+ArrowDown");
      await page.keyboard.press("Enter");
    }
  }
  await page.getByText("3 pairs. Add more, or lay the picture over now.").waitFor();
  await page.getByRole("button", { name: "Lay it over" }).click();
  await page.getByText("Laid over the baseline by points that a person placed.").waitFor();
  assert.deepEqual(complaints, []);
  await close();
});

test("a code that is nobody's is told plainly; a phone has all of it", { skip: NO_BROWSER }, async () => {
  const { page, close } = await openPage(browser, at("series/R-999"), { widthPx: 360, heightPx: 740 });
  await page.getByText("REQUEST_UNKNOWN").waitFor();
  await page.goto(at("series/R-102"));
  await shown(page, /baseline/);
  const overflow = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  assert.ok(overflow <= 0, `${overflow} px too wide`);
  await close();
});

for (const [light, widthPx] of [
  ["dim", 1280],
  ["light", 1280],
  ["light", 320],
] as const) {
  test(`series have no accessibility fault, ${light}, ${widthPx} px`, { skip: NO_BROWSER }, async () => {
    for (const way of ["", "&way=split", "&way=difference"]) {
      const { page, close } = await openPage(browser, at(`series/R-101?view=close-up${way}`), {
        light,
        widthPx,
      });
      await page.getByRole("heading", { name: "What was measured" }).waitFor();
      await page
        .getByRole("img", { name: /^Visit of/ })
        .first()
        .waitFor();
      assert.deepEqual(await accessibilityFaults(page), [], way);
      await close();
    }
  });
}
