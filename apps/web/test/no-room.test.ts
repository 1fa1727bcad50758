import assert from "node:assert/strict";
import { copyFile, mkdir } from "node:fs/promises";
import { join } from "node:path";
import { after, before, test } from "node:test";
import type { FoundFrames } from "@samescale/server";
import type { Browser } from "playwright-core";
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

/** What a browser answers, run in its page, where its storage is full, and where it is forbidden. @source HtmlWebStorage */
const POOR = {
  full: () => {
    Storage.prototype.setItem = () => {
      throw new DOMException("No room", "QuotaExceededError");
    };
  },
  forbidden: () => {
    for (const name of ["localStorage", "sessionStorage"]) {
      Object.defineProperty(window, name, {
        get() {
          throw new DOMException("Denied", "SecurityError");
        },
      });
    }
  },
};

for (const [kind, makePoor] of Object.entries(POOR)) {
  test(`where the browser's storage is ${kind}, the work goes on, and what it would keep is kept on the page`, {
    skip: NO_BROWSER,
  }, async () => {
    const { page, complaints, close } = await openPage(browser, "about:blank");
    await page.addInitScript(makePoor);

    await page.goto(served.url);
    await page.getByText(/1 × Body 1/).click();
    await page.getByText(/^1 of \d+ packed$/).waitFor();
    await page.keyboard.press("l");
    await page.waitForFunction(() => document.documentElement.dataset.light === "light");

    const arriving = join(served.folder, `arriving-${kind}`);
    await mkdir(arriving);
    await page.getByRole("link", { name: "Bedside", exact: true }).click();
    await page.getByRole("link", { name: kind === "full" ? "Begin R-108" : "Go on R-108" }).click();
    if (kind === "full") {
      await page.getByText("Another folder").click();
      await page.getByLabel("Folder on the server").fill(arriving);
      await page.getByRole("button", { name: "Begin to watch" }).click();
    }
    await page.getByRole("button", { name: "Read, go on" }).click();
    if (kind === "full") {
      await page.getByText("Make the first frame: the label").waitFor();
      await copyFile(join(served.folder, "bedside", "VC010101.JPG"), join(arriving, "VC010101.JPG"));
    }
    await page.getByText("Keep: the label of R-108 is seen.").first().waitFor({ timeout: 90_000 });

    const measured = await fetch(`${served.url}api/frames?frame=picture&measured=measured`);
    const { frames } = (await measured.json()) as FoundFrames;
    await page.goto(`${served.url}measure/${frames.at(-1)!.frameId}`);
    await page.getByRole("button", { name: "Outline it anew" }).click();
    await page.getByText("Click in its middle").waitFor();
    await page.getByRole("application").click();
    await page.getByText(/^\d+ regions?(, \d+ holes?)?$/).waitFor();
    assert.deepEqual(complaints, []);
    await close();
  });
}
