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

const skip = NO_BROWSER;
const headers = { "x-samescale": "1" };

/** What another person does meanwhile, without a page. */
async function meanwhile<Answer>(path: string, body?: object): Promise<Answer> {
  const answer = await fetch(`${served.url}api${path}`, {
    method: body ? "POST" : "GET",
    headers: { ...headers, ...(body && { "content-type": "application/json" }) },
    ...(body && { body: JSON.stringify(body) }),
  });
  assert.ok(answer.ok, `${path}: ${answer.status} ${answer.ok ? "" : await answer.text()}`);
  return (await answer.json()) as Answer;
}

async function fillIn(page: Page, to: string): Promise<void> {
  await page.getByLabel("Recipient").fill(to);
  await page.getByLabel("What they use it for").fill("the next visit");
}

test("refused with the reason and the way out, then allowed: the receipt shows every file", {
  skip,
}, async () => {
  const { page, complaints, close } = await openPage(browser, served.url);
  await page.goto(`${served.url}release`);
  await page.getByRole("link", { name: /R-101/ }).first().click();
  await page.getByRole("heading", { level: 1, name: "Release from R-101" }).waitFor();

  await page.getByRole("radio", { name: /^teaching nothing may leave now/i }).click({ force: true });
  await page.getByText("For all 9 of them:").waitFor();
  const way = page.getByRole("link", { name: "Ask for consent" }).first();
  assert.equal(await way.getAttribute("href"), "/requests/R-101?show=consent");
  assert.equal(await page.getByRole("button", { name: "Release now" }).isDisabled(), true);

  await fillIn(page, "course for ward nurses");
  await meanwhile("/requests/R-101/consent", {
    answer: "given",
    scope: "teaching",
    by: { capacity: "patient" },
    how: "written",
  });
  await page.getByText("3 pictures can leave like this.").waitFor();
  await page.keyboard.press("Escape");
  await page.getByRole("button", { name: "Make it on trial" }).click();
  await page.getByText(/^It would be 5 files/).waitFor();
  await page.getByRole("button", { name: "Release now" }).click();
  await page.getByRole("heading", { level: 1, name: /^Receipt [A-Z0-9]{8}$/ }).waitFor();
  // Three pictures, and whatever else the receipt names by its hash.
  assert.ok((await page.getByText(/^[0-9a-f]{64}$/).count()) >= 3);
  const [download] = await Promise.all([
    page.waitForEvent("download"),
    page.getByRole("link", { name: "Fetch all as one ZIP" }).click(),
  ]);
  assert.match(download.suggestedFilename(), /^[A-Z0-9]{8}\.zip$/);
  await page.getByRole("button", { name: "Is it still what left?" }).click();
  await page.getByText("Everything is as it left: 3 files in that folder.").waitFor();
  assert.deepEqual(complaints, []);
  await close();
});

test("consent withdrawn by somebody else while the page is open: it says so, and the button does nothing", {
  skip,
}, async () => {
  const { page, complaints, close } = await openPage(browser, served.url);
  await page.goto(`${served.url}release/R-102?scope=requester`);
  await fillIn(page, "the clinic");
  await page.getByText(/can leave like this/).waitFor();
  const { answers } = await meanwhile<{
    answers: { id: string; scope: string; withdrawn: unknown }[];
  }>("/requests/R-102/consent");
  const given = answers.find(({ scope, withdrawn }) => scope === "requester" && withdrawn === null);
  await meanwhile(`/requests/R-102/consent/${given!.id}/withdraw`, { by: "the patient" });
  await page.getByRole("alert").getByText("Consent or masks changed while this page was open").waitFor();
  assert.equal(await page.getByRole("button", { name: "Release now" }).isDisabled(), true);

  await page.goto(`${served.url}release/recalls`);
  const open = page.getByRole("textbox", { name: /What they answered/ });
  await open.first().waitFor();
  const before = await open.count();
  assert.ok(before >= 2, `${before}: the lecture's and the clinic's`);
  await open.first().fill("deleted, the slide is out");
  await page.getByRole("button", { name: "Write it down" }).first().click();
  await page.waitForFunction((n) => document.querySelectorAll("main form").length === n, before - 1);
  await page.getByText("All", { exact: true }).click();
  await page.getByText("deleted, the slide is out").waitFor();
  assert.deepEqual(complaints, []);
  await close();
});

test("masks by pointer and by keyboard, undone, a bar over the eyes refused, then confirmed", {
  skip,
}, async () => {
  const { page, complaints, close } = await openPage(browser, served.url);
  const { pictures } = await meanwhile<{ pictures: { frameId: string; name: string }[] }>(
    "/release/requests/R-104",
  );
  const { frameId, name } = pictures[0]!;
  await page.goto(`${served.url}release/R-104?scope=teaching&mask=${frameId}`);
  await page.getByRole("heading", { name: "Drawn by you" }).waitFor();
  const picture = page.getByRole("application", { name: `What must not be seen in ${name}` });
  await picture.waitFor();
  const box = (await picture.boundingBox())!;
  const at = (x: number, y: number) => [box.x + x * box.width, box.y + y * box.height] as const;
  await page.mouse.move(...at(0.4, 0.4));
  await page.mouse.down();
  await page.mouse.move(...at(0.5, 0.5), { steps: 4 });
  await page.mouse.move(...at(0.6, 0.6), { steps: 4 });
  await page.mouse.up();
  await page.getByRole("button", { name: "Remove area 1" }).waitFor();

  await picture.focus();
  await page.keyboard.press("Enter");
  for (const key of ["ArrowRight", "ArrowDown"]) {
    for (let i = 0; i < 6; i++) await page.keyboard.press(`Shift+${key}`);
  }
  await page.keyboard.press("Enter");
  await page.getByRole("button", { name: "Remove area 2" }).waitFor();
  await page.getByRole("button", { name: "Undo" }).click();
  await page.getByRole("button", { name: "Remove area 2" }).waitFor({ state: "detached" });

  await page.getByRole("button", { name: "Show it as it will be" }).click();
  await page.getByRole("img", { name: /as it would leave/ }).waitFor();
  await page.getByText(/% covered/).waitFor();
  await page.getByRole("button", { name: "Go on drawing" }).click();

  for (const cover of await page.getByRole("radio", { name: "Leave it to be seen" }).all())
    await cover.click({ force: true });
  const questions = page.getByRole("region", { name: "Ten questions, each answered by you" });
  const groups = questions.getByRole("radiogroup");
  assert.equal(await groups.count(), 10);
  for (const group of await groups.all())
    await group.getByRole("radio", { name: "may be seen" }).click({ force: true });
  await groups.first().getByRole("radio", { name: "masked", exact: true }).click({ force: true });
  await page.getByRole("button", { name: /Area 1: face/ }).click();
  await page.getByRole("option", { name: "eyes" }).click();
  const confirm = page.getByRole("button", { name: "Confirm, by name" });
  await confirm.click();
  await page
    .getByText(/bar over the eyes is no mask/)
    .first()
    .waitFor();
  await page.getByRole("button", { name: /Area 1: eyes/ }).click();
  await page.getByRole("option", { name: "face", exact: true }).click();
  await page.getByRole("button", { name: "Move or resize area 1" }).focus();
  for (let i = 0; i < 12; i++) await page.keyboard.press("Shift+ArrowUp");
  await confirm.click();
  await page.getByRole("heading", { level: 1, name: "Release from R-104" }).waitFor();
  await page.getByText(/1 area covered/).waitFor();
  assert.deepEqual(complaints, []);
  await close();
});

for (const light of ["dim", "light"] as const) {
  test(`no accessibility fault in any state, also at 320 px, ${light}`, { skip }, async () => {
    const { page, close } = await openPage(browser, served.url, { light });
    const { releases } = await meanwhile<{ releases: { id: string }[] }>("/release/receipts?scope=teaching");
    for (const [path, ready] of [
      ["release", "Which request?"],
      ["release/R-101?scope=teaching", "Let it out"],
      ["release/receipts", "What left"],
      [`release/receipts/${releases[0]!.id}`, "Files"],
      ["release/recalls", "Recalls"],
      ["release/projects", "Research projects"],
    ] as const) {
      await page.goto(`${served.url}${path}`);
      await page.getByRole("heading", { name: ready }).first().waitFor();
      assert.deepEqual(await accessibilityFaults(page), [], path);
      if (light === "light") continue;
      await page.setViewportSize({ width: 320, height: 640 });
      const wide = await page.evaluate(() => document.documentElement.scrollWidth);
      assert.ok(wide <= 320, `${path}: ${wide} px wide at 320 px`);
      assert.deepEqual(await accessibilityFaults(page), [], `${path} at 320 px`);
      await page.setViewportSize({ width: 1280, height: 800 });
    }
    await close();
  });
}
