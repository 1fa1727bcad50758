import assert from "node:assert/strict";
import { mkdir, readdir, readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
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

/**
 * A card like one of the demonstration's, of other bytes (a comment in each picture), without its first label frame: what stands
 * before the next one waits for a person.
 */
async function cardWithoutLabel(name: string): Promise<string> {
  const from = join(served.folder, "cards", "CARD-B", "DCIM", "100VC___");
  const card = join(served.folder, "brought", name);
  await mkdir(join(card, "DCIM"), { recursive: true });
  for (const file of (await readdir(from)).sort().slice(1, 5)) {
    const bytes = await readFile(join(from, file));
    const comment = Buffer.concat([Buffer.from([0xff, 0xfe, 0, 2 + name.length]), Buffer.from(name)]);
    await writeFile(
      join(card, "DCIM", file),
      Buffer.concat([bytes.subarray(0, 2), comment, bytes.subarray(2)]),
    );
  }
  await writeFile(join(card, "day-sheet.txt"), "no picture");
  return card;
}

async function choose(page: Page, card: string): Promise<void> {
  const chooser = page.waitForEvent("filechooser");
  await page.getByRole("button", { name: "Choose a card or folder" }).click();
  await (await chooser).setFiles(card);
}

test("a card is cut off on its way, gone on with after the server was started anew, taken in, and its frames given", {
  skip: NO_BROWSER,
}, async () => {
  const card = await cardWithoutLabel("CUT");
  const { page, complaints, close } = await openPage(browser, `${served.url}card`);
  let cut = 0;
  await page.route("**/api/card/drop/*", async (route) => {
    // The third file and all behind it find no server, until it is started anew.
    if (++cut > 2 && cut < 1000) await route.abort("connectionreset");
    else await route.continue();
  });
  await choose(page, card);
  await page.getByText("The connection is lost").waitFor();
  await page.getByText("2 of 5 files").waitFor();
  await served.restart();
  // The page is closed and opened anew: what it held is gone, what came lies at the server.
  await page.goto("about:blank");
  await page.unroute("**/api/card/drop/*");
  await page.goto(`${served.url}card`);
  await page.getByText(/^2 of 5 files are here\./).waitFor();
  let sent = 0;
  page.on("request", (request) => {
    if (request.method() === "POST" && /\/api\/card\/drop\/[^/]+$/.test(request.url())) sent++;
  });
  await choose(page, card);
  await page.getByText("Do not empty the card", { exact: true }).waitFor({ timeout: 120_000 });
  assert.equal(sent, 3, "only the rest is sent");
  await page.getByText("day-sheet.txt (It is text, not a picture)").waitFor();
  await page.getByText("no picture: It is text, not a picture").waitFor();
  assert.deepEqual(await accessibilityFaults(page), []);

  // By key: mark both frames of the first group, give them with a reason.
  await page.getByRole("link", { name: "Say whose they are" }).click();
  const frames = page.getByRole("grid", { name: /^Frames that wait, CUT/ });
  await frames.getByRole("row").nth(1).waitFor();
  assert.equal(await frames.getByRole("row").count(), 2);
  await page.getByText("No label frame before it.").waitFor();
  assert.deepEqual(await accessibilityFaults(page), []);
  await frames.getByRole("row").first().focus();
  await page.keyboard.press("Space");
  await page.keyboard.press("Shift+ArrowRight");
  await page.getByText("2 frames marked").waitFor();
  await page.keyboard.press("p");
  await page.getByRole("dialog", { name: "Give 2 frames to …" }).waitFor();
  await page.keyboard.type("R-103");
  await page.keyboard.press("ArrowDown");
  await page.keyboard.press("Enter");
  await page.getByRole("dialog", { name: "2 frames to R-103" }).waitFor();
  assert.deepEqual(await accessibilityFaults(page), []);
  await page.getByRole("button", { name: "The day sheet says so" }).click();
  await page.getByText("2 frames to R-103.").waitFor();
  await page.getByText("Every frame belongs to a request").waitFor();
  await page.keyboard.press("z");
  await frames.getByRole("row").nth(1).waitFor();

  // By pointer: one is dragged onto a request.
  await frames
    .getByRole("row")
    .first()
    .dragTo(page.getByRole("row", { name: /R-101/ }));
  await page.getByRole("dialog", { name: "1 frame to R-101" }).waitFor();
  await page.getByLabel("In your own words").fill("seen on the wristband");
  await page.keyboard.press("Enter");
  await page.getByText("1 frame to R-101.").waitFor();
  await page.getByRole("button", { name: "Take back: 1 frame to R-101" }).click();
  await page.getByText("1 frame back where they were.").waitFor();
  await frames.getByRole("row").nth(1).waitFor();
  assert.equal(await frames.getByRole("row").count(), 2);
  assert.deepEqual(complaints, []);
  await close();
});

test("a card at the server's machine is compared and may be emptied; a folder that is none is told", {
  skip: NO_BROWSER,
}, async () => {
  const { page, complaints, close } = await openPage(browser, `${served.url}card`, { light: "light" });
  await page.getByLabel("Another folder").fill("/no/such/card");
  await page.keyboard.press("Enter");
  await page.getByText("There is no folder /no/such/card").waitFor();
  assert.deepEqual(await accessibilityFaults(page), []);
  await page.getByRole("button", { name: "Take in CARD-C" }).click();
  await page.getByText("The card may be emptied").waitFor();
  await page.getByText("here already").first().waitFor();
  await page.goBack();
  await page.getByRole("heading", { name: "Taken in lately" }).waitFor();
  await page.getByRole("link", { name: "CARD-C" }).first().click();
  await page.getByText("Said on 2026-").waitFor();
  assert.deepEqual(await accessibilityFaults(page), []);
  assert.deepEqual(complaints, []);
  await close();
});

test("on a phone nothing is cut off at the side", { skip: NO_BROWSER }, async () => {
  const { page, complaints, close } = await openPage(browser, `${served.url}card`, {
    widthPx: 320,
    // Tall, so that nothing lies under the row of places when it is looked at as a whole.
    heightPx: 2400,
  });
  for (const path of ["card", "card/waiting"]) {
    await page.goto(served.url + path);
    await page.getByRole("heading", { level: 1 }).waitFor();
    await page.getByRole("heading", { level: 2 }).first().waitFor();
    assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), path);
    assert.deepEqual(await accessibilityFaults(page), [], path);
  }
  assert.deepEqual(complaints, []);
  await close();
});
