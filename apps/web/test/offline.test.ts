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

test("once served it opens without the server, says so, and goes on by itself; no answer of the server is kept", {
  skip: NO_BROWSER,
}, async () => {
  const { page, complaints, close } = await openPage(browser, served.url);
  await page.getByRole("heading", { level: 1, name: "Today" }).waitFor();
  await page.evaluate(() => navigator.serviceWorker.ready.then(() => null));
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
  const kept = await page.evaluate(async () => {
    const names = await caches.keys();
    const all = await Promise.all(names.map(async (name) => (await caches.open(name)).keys()));
    return all.flat().map(({ url }) => new URL(url).pathname);
  });
  assert.ok(kept.includes("/") && kept.length > 5, kept.join(" "));
  assert.deepEqual(
    kept.filter((path) => path !== "/" && !path.startsWith("/assets/")),
    [],
  );

  const context = page.context();
  await context.setOffline(true);
  await page.goto(`${served.url}frames`);
  await page.getByText("The server does not answer").first().waitFor();
  assert.deepEqual(await accessibilityFaults(page), []);
  await context.setOffline(false);
  await page.getByRole("heading", { level: 1, name: "Frames" }).waitFor();
  assert.deepEqual(complaints, []);
  await close();
});

test("a fault of the page is told, can be copied with its code, and there is a way on", {
  skip: NO_BROWSER,
}, async () => {
  const { page, close } = await openPage(browser, served.url);
  await page.getByRole("heading", { level: 1, name: "Today" }).waitFor();
  await page.evaluate(() => {
    setTimeout(() => {
      throw new Error("a planted fault");
    });
  });
  await page.getByText("a planted fault").waitFor();
  await page.evaluate(() => void Promise.reject(new Error("a planted refusal")));
  await page.getByText("a planted refusal").waitFor();
  assert.equal(await page.getByText("PAGE_FAULT").count(), 2);
  assert.deepEqual(await accessibilityFaults(page), []);
  await page.getByRole("button", { name: "Open it anew" }).first().click();
  await page.getByText("a planted refusal").waitFor({ state: "detached" });
  await page.getByRole("heading", { level: 1, name: "Today" }).waitFor();
  await close();
});

test("a place whose files cannot be fetched says so; the other places go on working", {
  skip: NO_BROWSER,
}, async () => {
  const { page, close } = await openPage(browser, served.url);
  await page.getByRole("heading", { level: 1, name: "Today" }).waitFor();
  await page.route(/\/assets\/custody-.*\.js/, (route) => route.abort());
  await page.evaluate(async () => {
    const names = await caches.keys();
    await Promise.all(names.map((name) => caches.delete(name)));
  });
  await page.keyboard.press("g");
  await page.keyboard.press("u");
  await page.getByRole("heading", { level: 1, name: "This place has a fault" }).waitFor();
  await page.getByRole("button", { name: "Open it anew" }).waitFor();
  await page.keyboard.press("g");
  await page.keyboard.press("t");
  await page.getByRole("heading", { level: 1, name: "Today" }).waitFor();
  await close();
});
