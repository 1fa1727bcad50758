import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import type { FoundFrames } from "@samescale/server";
import type { Browser, Page } from "playwright-core";
import { accessibilityFaults } from "./harness/accessible.ts";
import { NO_BROWSER, openBrowser, openPage } from "./harness/browser.ts";
import { type Served, serveDemonstration } from "./harness/served.ts";

const skip = NO_BROWSER;
const MOST_STOPS = 40;
/** Tenths of a second without a change of height. */
const STANDS_STILL = 4;
let browser: Browser;
let served: Served;
/** A place for every kind of page, with a word by which it is known to stand. */
let places: readonly (readonly [address: string, stands: string | RegExp])[];
before(async () => {
  if (NO_BROWSER) return;
  [browser, served] = await Promise.all([openBrowser(), serveDemonstration()]);
  const answer = await fetch(`${served.url}api/frames?frame=picture&measured=measured`);
  const { frameId } = ((await answer.json()) as FoundFrames).frames[0]!;
  places = [
    ["", "Bag for"],
    ["requests", "R-101"],
    ["requests/R-110", "Asked for"],
    ["requests/R-113?show=consent", "Who answers"],
    ["requests/R-109?show=plan", "Heel in the mirror"],
    ["bedside", "Other open requests"],
    ["card", "Drop a card here"],
    [`frames?at=${frameId}`, /\d+ frames/],
    [`measure/${frameId}`, /graduations read/],
    ["series/R-101", "Report as PDF"],
    ["release/R-101", "What for?"],
    ["custody", "Does everything hold?"],
    ["practice/kit", "Bodies"],
    ["rehearse", "Task:"],
  ];
});
after(async () => {
  await browser?.close();
  await served?.close();
});

const opened = async (page: Page, address: string, stands: string | RegExp) => {
  await page.goto(`${served.url}${address}`);
  await page.getByText(stands).first().waitFor();
  // What is still being filled moves what has the focus; a person waits for it as well.
  for (let height = -1, same = 0; same < STANDS_STILL; ) {
    const now = await page.evaluate(() => document.documentElement.scrollHeight);
    same = now === height ? same + 1 : 0;
    height = now;
    await page.waitForTimeout(100);
  }
};

test("the focus goes down the page, is seen wherever it goes, and each thing it stops at has a name", {
  skip,
}, async () => {
  const { page, complaints, close } = await openPage(browser, served.url);
  const faults: string[] = [];
  for (const [address, stands] of places) {
    await opened(page, address, stands);
    const stops: string[] = [];
    for (let nth = 0; nth < MOST_STOPS; nth++) {
      await page.keyboard.press("Tab");
      const stop = await page.evaluate(lookAtFocus);
      // Out of the page, or round it: the first link is the one past the column of places.
      if (stop === null || stop.name === "Go to the work") break;
      stops.push(stop.name);
      faults.push(...stop.faults.map((fault) => `${address}, ${stops.slice(-3).join(" → ")}: ${fault}`));
    }
    // The heading has the focus when a place opens; what can be done follows it.
    if (stops.length < 2) faults.push(`${address}: it stopped at ${stops.join(", ")} alone`);
  }
  assert.deepEqual(faults, []);
  assert.deepEqual(complaints, []);
  await close();
});

/** Runs in the page. Null: the focus has left it. */
function lookAtFocus(): { readonly name: string; readonly faults: string[] } | null {
  const kept = window as unknown as { lastFocus?: Element };
  const now = document.activeElement;
  if (now === null || now === document.body) return null;
  const faults: string[] = [];
  const labels = (now as HTMLInputElement).labels;
  const name = (
    now.getAttribute("aria-label") ??
    (now.getAttribute("aria-labelledby") ?? "")
      .split(" ")
      .map((id) => document.getElementById(id)?.textContent ?? "")
      .join(" ")
  ).trim();
  const told = name || labels?.[0]?.textContent?.trim() || now.textContent?.trim() || "";
  if (told === "") faults.push(`no name: ${now.outerHTML.slice(0, 120)}`);
  const last = kept.lastFocus;
  if (last?.isConnected && last.compareDocumentPosition(now) & Node.DOCUMENT_POSITION_PRECEDING) {
    faults.push("it went back up the page");
  }
  kept.lastFocus = now;
  // What is seen of a hidden input is the label that it belongs to.
  const seen = labels?.[0] ?? now;
  const box = seen.getBoundingClientRect();
  const [x, y] = [
    Math.min(innerWidth - 1, Math.max(0, box.left + box.width / 2)),
    Math.min(innerHeight - 1, Math.max(0, box.top + Math.min(box.height, innerHeight) / 2)),
  ];
  const over = document.elementFromPoint(x, y);
  const isSeen = over !== null && (seen.contains(over) || over.contains(seen));
  const isWithin = box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth;
  if (!isSeen || !isWithin)
    faults.push(`not seen: ${told.slice(0, 60)}, under ${over?.outerHTML.slice(0, 80)}`);
  return { name: told.slice(0, 40), faults };
}

for (const light of ["dim", "light"] as const) {
  test(`at 200 % nothing runs out of the page and nothing is faulty, ${light}`, { skip }, async () => {
    // 1280 x 800 px at 200 % are 640 x 400 of the page's own.
    const { page, complaints, close } = await openPage(browser, served.url, {
      widthPx: 640,
      heightPx: 400,
      light,
    });
    const faults: string[] = [];
    for (const [address, stands] of places) {
      await opened(page, address, stands);
      const { scrollWidth, clientWidth } = await page.evaluate(() => {
        const { scrollWidth, clientWidth } = document.documentElement;
        return { scrollWidth, clientWidth };
      });
      if (scrollWidth > clientWidth) faults.push(`${address}: ${scrollWidth} px wide of ${clientWidth}`);
      // What a bar at the edge covers can be scrolled free; the checker, which does not scroll, would call it too small.
      await page.evaluate(() => {
        for (const one of document.querySelectorAll<HTMLElement>("body *")) {
          if (getComputedStyle(one).position === "sticky") one.style.position = "static";
        }
      });
      faults.push(...(await accessibilityFaults(page)).map((fault) => `${address}: ${fault}`));
    }
    assert.deepEqual(faults, []);
    assert.deepEqual(complaints, []);
    await close();
  });
}
