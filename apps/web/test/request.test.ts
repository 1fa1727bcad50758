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

/** As a keyboard does it: the focus goes there, keys do the rest. */
async function type(page: Page, label: string, text: string): Promise<void> {
  await page.getByRole("textbox", { name: label, exact: true }).focus();
  await page.keyboard.type(text);
}

async function press(page: Page, name: string | RegExp): Promise<void> {
  await page.getByRole("button", { name }).focus();
  await page.keyboard.press("Enter");
}

async function choose(page: Page, name: RegExp, option: RegExp): Promise<void> {
  await press(page, name);
  await page.getByRole("option", { name: option }).focus();
  await page.keyboard.press("Enter");
}

let taken = "";

test("by keyboard alone: a new request with a mark, its plan, consent", { skip: NO_BROWSER }, async () => {
  const { page, complaints, close } = await openPage(browser, `${served.url}requests/new`);
  await page.getByRole("heading", { level: 1, name: "Take a request" }).waitFor();
  await type(page, "Patient's number", "FH12");
  await page.getByText("Fits no number that the department writes").waitFor();
  await page.keyboard.type("3456");
  await type(page, "Date of birth", "1980-05-06");
  await page.getByText(/^New here/).waitFor();
  await type(page, "Name", "Orla Fennimore");

  await page.getByRole("application", { name: /^Body outline: front/ }).focus();
  for (let i = 0; i < 7; i++) await page.keyboard.press("Shift+ArrowDown");
  for (let i = 0; i < 6; i++) await page.keyboard.press("ArrowRight");
  await page.getByText("Here: left lower leg, from the front").waitFor();
  await page.keyboard.press("Enter");
  assert.equal(await page.getByRole("textbox", { name: "Part", exact: true }).inputValue(), "lower leg");
  await page.getByRole("button", { name: /^left Side/ }).waitFor();
  await choose(page, /^left Side/, /^right$/);
  await page.getByText("The mark is on the left, the part says right: which is right?").waitFor();
  await choose(page, /^right Side/, /^left$/);

  await type(page, "Purpose", "ulcer, first pictures");
  await type(page, "Wanted by", "2026-06-11");
  await press(page, "Open the request");
  await page.getByRole("heading", { level: 1, name: "Orla Fennimore" }).waitFor();
  taken = page.url().match(/requests\/([A-Z0-9-]+)/)?.[1] ?? "";

  await choose(page, /View set/, /Wound, either side/);
  await page.getByRole("region", { name: "Close-up with L-scale" }).waitFor();
  await press(page, "Keep this plan");
  await page.getByRole("button", { name: "Plan anew" }).waitFor();

  await page.getByRole("tab", { name: "Plan" }).focus();
  await page.keyboard.press("ArrowRight");
  await page.getByText("We would like to take photographs of you as part of your care").waitFor();
  await press(page, "Agrees: Health record");
  await page.getByText("Health record: agreed.").waitFor();
  await press(page, "Does not agree: Teaching");
  await page.getByText(/Consent for teaching was refused on/).waitFor();
  const card = page.getByRole("region", { name: "Health record" });
  await card.getByText("yes", { exact: true }).waitFor();
  assert.deepEqual(await accessibilityFaults(page), []);

  await page.goto(served.url);
  await page.getByRole("link", { name: `Shot card ${taken}` }).waitFor();
  assert.deepEqual(complaints, []);
  await close();
});

test("a touch puts a mark; what is changed is undone; a slip of consent is taken back on record", {
  skip: NO_BROWSER,
}, async () => {
  const { page, complaints, close } = await openPage(browser, `${served.url}requests/R-113`, {
    widthPx: 360,
    heightPx: 740,
    light: "light",
  });
  await page.getByRole("button", { name: "Change", exact: true }).tap();
  const outline = page.getByRole("application");
  await outline.waitFor();
  await outline.tap({ position: { x: 150, y: 150 } });
  await page.getByText("1 field is changed").waitFor();
  await page.getByRole("button", { name: "Keep the changes" }).tap();
  await page.getByText("Changed.", { exact: true }).waitFor();
  await page.getByRole("button", { name: "Undo" }).tap();
  await page.getByText("Taken back.").waitFor();
  await page.goto(`${served.url}requests/R-113?show=history`);
  await page.getByText("changed ·").nth(1).waitFor();
  await page.goto(`${served.url}requests/R-113?show=consent`);
  await page.getByRole("button", { name: "Agrees: Research" }).tap();
  await page.getByRole("button", { name: "Undo" }).tap();
  await page.getByText(/withdrawn on .* written down by mistake/).waitFor();
  const size = await page.getByRole("button", { name: "Agrees: Teaching" }).boundingBox();
  assert.ok((size?.height ?? 0) >= 48);
  assert.deepEqual(await accessibilityFaults(page), []);
  assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth));
  assert.deepEqual(complaints, []);
  await close();
});

test("two pages change one request: the second is told what the first wrote, and lays its own over it", {
  skip: NO_BROWSER,
}, async () => {
  const one = await openPage(browser, `${served.url}requests/R-112`);
  const two = await openPage(browser, `${served.url}requests/R-112`);
  for (const { page } of [one, two]) {
    await page.getByRole("button", { name: "Change", exact: true }).click();
    await page.getByRole("textbox", { name: "Ward or clinic, bed or room" }).waitFor();
  }
  await one.page.getByRole("textbox", { name: "Ward or clinic, bed or room" }).fill("Skin clinic, room 4");
  await one.page.getByRole("button", { name: "Keep the changes" }).click();
  await one.page.getByText("Changed.", { exact: true }).waitFor();
  await two.page.getByRole("textbox", { name: "Purpose" }).fill("pigmented lesion, before removal");
  await two.page.getByRole("button", { name: "Keep the changes" }).click();
  await two.page.getByRole("heading", { name: "Somebody else changed this request" }).waitFor();
  await two.page
    .getByText(/place was "Skin clinic" and is "Skin clinic, room 4"/)
    .first()
    .waitFor();
  await two.page.getByRole("button", { name: "Lay mine over theirs" }).click();
  const place = two.page.getByRole("textbox", { name: "Ward or clinic, bed or room" });
  assert.equal(await place.inputValue(), "Skin clinic, room 4");
  await two.page.getByRole("button", { name: "Keep the changes" }).click();
  await two.page.getByText("pigmented lesion, before removal", { exact: true }).waitFor();
  await one.page.getByText("pigmented lesion, before removal", { exact: true }).waitFor();
  assert.deepEqual([...one.complaints, ...two.complaints], []);
  await one.close();
  await two.close();
});

test("found by words in the address; nothing found and nothing there are told with a way on; the card leaves", {
  skip: NO_BROWSER,
}, async () => {
  const { page, complaints, close } = await openPage(browser, `${served.url}requests?text=heel`);
  await page.getByRole("link", { name: "R-109" }).waitFor();
  await page.getByRole("searchbox", { name: "Search" }).fill("nowhere at all");
  await page.getByRole("heading", { name: "No request fits" }).waitFor();
  assert.match(page.url(), /text=nowhere/);
  assert.deepEqual(await accessibilityFaults(page), []);
  await page.goto(`${served.url}requests/R-999`);
  await page.getByText("REQUEST_UNKNOWN").waitFor();
  await page.goto(`${served.url}requests/R-109?show=card`);
  const download = page.waitForEvent("download");
  await page.getByRole("button", { name: "Make the PDF" }).click();
  assert.equal((await download).suggestedFilename(), "shot-card-R-109.pdf");
  await page.goto(`${served.url}api/requests/R-109/card`);
  await page.getByRole("heading", { level: 1, name: "R-109" }).waitFor();
  assert.deepEqual(complaints, []);
  await close();
});

test("a requester asks, sees their own and how far it is, and nothing of anybody else's", {
  skip: NO_BROWSER,
}, async () => {
  const PASSWORD = "one lamp two shadows";
  let cookie = "";
  const post = async (path: string, body: object) => {
    const answer = await fetch(`${served.url}api/${path}`, {
      method: "POST",
      headers: { "content-type": "application/json", "x-samescale": "1", ...(cookie && { cookie }) },
      body: JSON.stringify(body),
    });
    assert.equal(answer.status, 200, await answer.clone().text());
    return answer;
  };
  await post("people/accounts/first", { login: "ada", name: "Ada Blum", password: PASSWORD });
  const ada = await post("people/sign-in", { login: "ada", password: PASSWORD });
  cookie = ada.headers.getSetCookie()[0]!.split(";", 1)[0]!;
  await post("people/accounts", { login: "rolf", name: "Rolf Iber", role: "requester", password: PASSWORD });

  const { page, complaints, close } = await openPage(browser, served.url, { widthPx: 320, light: "light" });
  await page.getByLabel("Name to sign in with").fill("rolf");
  await page.getByLabel("Password", { exact: true }).fill(PASSWORD);
  await page.keyboard.press("Enter");
  await page.getByRole("heading", { name: "You have asked for nothing that is still open" }).waitFor();
  await page.getByRole("link", { name: "Ask for pictures" }).click();
  await page.getByRole("textbox", { name: "Patient's number" }).fill("FH204118");
  await page.getByRole("textbox", { name: "Date of birth" }).fill("1951-04-08");
  await page.getByText("are compared when the request is sent").waitFor();
  await page.getByRole("textbox", { name: "Purpose" }).fill("second opinion");
  await page.getByRole("button", { name: "Ask for the pictures" }).click();
  await page.getByText("The number and the second identifier do not belong together").waitFor();
  await page.getByRole("textbox", { name: "Date of birth" }).fill("1951-04-09");
  await page.getByRole("button", { name: "Ask for the pictures" }).click();
  await page.getByRole("heading", { level: 1, name: "Iris Marlowe" }).waitFor();
  assert.deepEqual(await page.getByRole("tab").allTextContents(), ["Asked for", "Plan"]);
  assert.equal(await page.getByRole("button", { name: "Change", exact: true }).count(), 0);
  await page.goto(served.url);
  await page.getByText("asked for", { exact: true }).waitFor();
  assert.equal(await page.getByText("R-101").count(), 0);
  assert.deepEqual(await accessibilityFaults(page), []);
  await page.goto(`${served.url}requests/R-101`);
  await page.getByText("REQUEST_UNKNOWN").waitFor();
  assert.deepEqual(complaints, []);
  await close();
});
