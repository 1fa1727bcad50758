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

test("it opens on Today, names every place, and leads there by key and by address", {
  skip: NO_BROWSER,
}, async () => {
  const { page, complaints, close } = await openPage(browser, served.url);
  await page.getByRole("heading", { level: 1, name: "Today" }).waitFor();
  const names = await page.getByRole("navigation", { name: "Places" }).getByRole("link").allTextContents();
  assert.equal(names.length, 11);
  await page.keyboard.press("g");
  await page.keyboard.press("f");
  await page.getByRole("heading", { level: 1, name: "Frames" }).waitFor();
  await page.goBack();
  await page.getByRole("heading", { level: 1, name: "Today" }).waitFor();
  await page.keyboard.press("?");
  await page.getByRole("dialog", { name: "Keys" }).waitFor();
  await page.keyboard.press("Escape");
  await page.goto(`${served.url}nothing/here`);
  await page.getByRole("heading", { level: 1, name: "There is nothing at this address" }).waitFor();
  assert.deepEqual(complaints, []);
  await close();
});

test("the first view's answers are asked for once, before the application runs; no other script in the page does", {
  skip: NO_BROWSER,
}, async () => {
  const { page, complaints, close } = await openPage(browser, "about:blank");
  const asked: string[] = [];
  page.on("request", (request) => asked.push(new URL(request.url()).pathname));
  await page.goto(served.url);
  await page.getByRole("link", { name: "Iris Marlowe" }).waitFor();
  const times = (path: string) => asked.filter((one) => one === path).length;
  assert.deepEqual([times("/api/people/me"), times("/api/today")], [1, 1]);
  assert.ok(asked.indexOf("/api/today") < asked.indexOf("/api/events"), asked.join(" "));
  assert.deepEqual(complaints, []);
  const ran = await page.evaluate(() => {
    const script = document.createElement("script");
    script.textContent = "window.ran = true";
    document.head.append(script);
    return "ran" in window;
  });
  assert.equal(ran, false, "a script that somebody brought into the page");
  await close();
});

for (const light of ["dim", "light"] as const) {
  test(`the frame of the application has no accessibility fault, ${light}`, {
    skip: NO_BROWSER,
  }, async () => {
    const { page, close } = await openPage(browser, served.url, { light });
    await page.getByRole("heading", { level: 1 }).waitFor();
    assert.deepEqual(await accessibilityFaults(page), []);
    await close();
  });
}
