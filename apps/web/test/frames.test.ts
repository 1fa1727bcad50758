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
const frame = (page: Page, name: string) => page.getByRole("gridcell", { name: new RegExp(`^${name}`) });
const facts = (page: Page) => page.getByRole("article", { name: "About this frame" });

test("keys keep, repeat and note, each with its undo; arrows move, space marks, escape steps back", {
  skip: NO_BROWSER,
}, async () => {
  const { page, complaints, close } = await openPage(browser, at("frames?request=R-101"));
  await frame(page, "VC010063.JPG").click();
  await facts(page).getByText("keep", { exact: true }).waitFor();
  await page.keyboard.press("r");
  await page.getByText("To be made again.").waitFor();
  await facts(page).getByText("Make it again: said by", { exact: false }).waitFor();
  await page.keyboard.press("z");
  await page.getByText("Taken back.").waitFor();
  await facts(page).getByText("Keep: the ratio is as planned.").waitFor();
  await page.keyboard.press("n");
  await page.getByRole("textbox", { name: "Note" }).fill("knee moved a little");
  await page.keyboard.press("Enter");
  await facts(page).getByText("knee moved a little").waitFor();
  await page.keyboard.press("ArrowRight");
  await facts(page).getByRole("heading", { name: "VC010064.JPG" }).waitFor();
  await page.keyboard.press(" ");
  await page.getByText("1 marked").waitFor();
  await page.keyboard.press("Escape");
  await page.getByText("1 marked").waitFor({ state: "detached" });
  await page.keyboard.press("x");
  await page
    .getByRole("dialog", { name: "Put this frame aside" })
    .getByRole("button", { name: "Put aside" })
    .click();
  await page.getByRole("button", { name: "1 put aside" }).waitFor();
  await frame(page, "VC010064.JPG").waitFor({ state: "detached" });
  await page.keyboard.press("z");
  await frame(page, "VC010064.JPG").waitFor();
  assert.deepEqual(complaints, []);
  await close();
});

test("filters stand in the address and say what they hide; one act shows all; the back button leads back", {
  skip: NO_BROWSER,
}, async () => {
  const { page, complaints, close } = await openPage(browser, at("frames?request=R-101"));
  await page.getByText("13 frames").first().waitFor();
  await page.getByText("Filters", { exact: true }).click();
  await page.getByRole("button", { name: /Verdict$/ }).click();
  await page.getByRole("option", { name: /^repeat/ }).click();
  await page.getByText("3 of 13 frames, 10 hidden by:").waitFor();
  assert.match(page.url(), /verdict=repeat/);
  await page.getByRole("button", { name: "Show all" }).click();
  await page.getByText("hidden by").waitFor({ state: "detached" });
  await page.goBack();
  await page.getByText("3 of 13 frames, 10 hidden by:").waitFor();
  await page.goto(at("frames?scale=not-found&text=zzzz"));
  await page.getByRole("heading", { name: "Nothing fits all of this" }).waitFor();
  await page.goto(at("frames?verdict=good"));
  await page.getByRole("alert").getByText("FIELD_NOT_RIGHT").waitFor();
  assert.deepEqual(complaints, []);
  await close();
});

test("two marked frames are compared at one scale and move together; one without a scale is said", {
  skip: NO_BROWSER,
}, async () => {
  const { page, complaints, close } = await openPage(browser, at("frames?request=R-101&view=close-up"));
  const first = frame(page, "VC010035.JPG");
  await first.click();
  await page.keyboard.press(" ");
  await frame(page, "VC010024.JPG").getByRole("button", { name: "Mark VC010024.JPG" }).click();
  await page.keyboard.press("c");
  await page.getByText("Same scale: a millimetre of the subject is as long in each.").waitFor();
  const [one, other] = [
    page.getByLabel("The picture VC010035.JPG"),
    page.getByLabel("The picture VC010024.JPG"),
  ];
  await one.waitFor();
  await other.waitFor();
  const zooms = async () =>
    (
      await page
        .getByRole("status")
        .filter({ hasText: /^\d+ %$/ })
        .allTextContents()
    ).map((text) => Number.parseInt(text, 10));
  const settled = async (fits: (zooms: number[]) => boolean) => {
    for (let tries = 0; tries < 60; tries++) {
      const now = await zooms();
      if (now.length === 2 && fits(now)) return now;
      await page.waitForTimeout(100);
    }
    throw new Error(`zooms: ${await zooms()}`);
  };
  // 1:5 beside 1:4: the first is shown larger by a quarter, so that a millimetre is as long.
  const isAtOneScale = ([a, b]: number[]) => Math.abs(a! / b! - 1.25) < 0.06;
  const before = await settled(isAtOneScale);
  await one.focus();
  await page.keyboard.press("+");
  // The other follows a frame later.
  await settled((now) => now[0]! > before[0]! * 1.15 && isAtOneScale(now));
  await page.keyboard.press("Escape");
  await page.getByRole("grid", { name: "Frames" }).waitFor();
  assert.deepEqual(complaints, []);
  await close();
});

test("flung to the end: where it comes to rest every picture is fetched", { skip: NO_BROWSER }, async () => {
  const { page, complaints, close } = await openPage(browser, at("frames"), { heightPx: 400 });
  await page.getByRole("gridcell").first().waitFor();
  await page.evaluate(() => scrollTo(0, document.documentElement.scrollHeight));
  await page.waitForFunction(() => {
    const seen = [...document.querySelectorAll("[role=gridcell][id]")].filter((cell) => {
      const { top, bottom } = cell.getBoundingClientRect();
      return bottom > 0 && top < innerHeight;
    });
    const isThere = (cell: Element) => {
      const picture = cell.querySelector("img");
      return picture?.complete && picture.naturalWidth > 0;
    };
    return scrollY > 0 && seen.length > 0 && seen.every(isThere);
  });
  assert.deepEqual(complaints, []);
  await close();
});

test("a link opens one frame large, on a phone as well; nobody's frame is told plainly", {
  skip: NO_BROWSER,
}, async () => {
  const { page, complaints, close } = await openPage(browser, at("frames?request=R-102"), {
    widthPx: 360,
    heightPx: 740,
  });
  await frame(page, "VC010090.JPG").click();
  await page.getByRole("region", { name: "What to do" }).getByRole("button", { name: "Open" }).click();
  await page.getByLabel("The picture VC010090.JPG").waitFor();
  assert.match(page.url(), /large=1/);
  await facts(page).getByText("The file says of itself").waitFor();
  await page.goBack();
  await page.getByRole("grid", { name: "Frames" }).waitFor();
  await page.goto(at("frames?at=01ARZ3NDEKTSV4RRFFQ69G5FAV&large=1"));
  await page.getByText("FRAME_UNKNOWN").first().waitFor();
  assert.deepEqual(complaints, []);
  await close();
});

for (const [light, widthPx] of [
  ["dim", 1280],
  ["light", 1280],
  ["dim", 320],
] as const) {
  test(`frames have no accessibility fault, ${light}, ${widthPx} px`, { skip: NO_BROWSER }, async () => {
    const { page, close } = await openPage(browser, at("frames?request=R-101&verdict=repeat"), {
      light,
      widthPx,
      // Tall on a phone, so that nothing lies under the bars at the lower edge when it is looked at as a whole.
      heightPx: widthPx > 1000 ? 800 : 2400,
    });
    await frame(page, "VC010062.JPG").click();
    await page.getByText("Filters", { exact: true }).click();
    if (widthPx > 1000) await facts(page).waitFor();
    assert.deepEqual(await accessibilityFaults(page), []);
    const overflow = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    assert.ok(overflow <= 0, `${overflow} px too wide`);
    await close();
  });
}
