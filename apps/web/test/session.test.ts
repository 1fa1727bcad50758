import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import type { Browser, Page } from "playwright-core";
import { accessibilityFaults } from "./harness/accessible.ts";
import { NO_BROWSER, openBrowser, openPage } from "./harness/browser.ts";
import { type Served, serveDemonstration } from "./harness/served.ts";

const PASSWORD = "one lamp two shadows";
let browser: Browser;
let served: Served;
let administrator: string;
before(async () => {
  if (NO_BROWSER) return;
  [browser, served] = await Promise.all([openBrowser(), serveDemonstration()]);
  await post("people/accounts/first", { login: "ada", name: "Ada Blum", password: PASSWORD });
  const signedIn = await post("people/sign-in", { login: "ada", password: PASSWORD });
  administrator = signedIn.headers.getSetCookie()[0]!.split(";", 1)[0]!;
  for (const [login, name, role] of [
    ["mara", "Mara Kohn", "photographer"],
    ["vera", "Vera Lind", "lead"],
    ["rolf", "Rolf Iber", "requester"],
  ]) {
    await post("people/accounts", { login, name, role, password: PASSWORD });
  }
});
after(async () => {
  await browser?.close();
  await served?.close();
});

async function post(path: string, body: object): Promise<Response> {
  const answer = await fetch(`${served.url}api/${path}`, {
    method: "POST",
    headers: {
      "content-type": "application/json",
      "x-samescale": "1",
      ...(administrator && { cookie: administrator }),
    },
    body: JSON.stringify(body),
  });
  assert.equal(answer.status, 200, await answer.clone().text());
  return answer;
}

async function signIn(page: Page, login: string | null, password = PASSWORD): Promise<void> {
  if (login !== null) await page.getByLabel("Name to sign in with").fill(login);
  await page.getByLabel("Password", { exact: true }).fill(password);
  await page.keyboard.press("Enter");
}

const revoke = (login: string) =>
  post(`people/accounts/${login}/sessions/end`, { because: "left open on ward 7" });

test("nothing is shown before somebody signs in; wrong is told in the server's words; then Today", {
  skip: NO_BROWSER,
}, async () => {
  for (const light of ["dim", "light"] as const) {
    const { page, complaints, close } = await openPage(browser, `${served.url}frames`, {
      light,
      widthPx: 320,
    });
    await page.getByRole("button", { name: "Sign in" }).waitFor();
    assert.equal(await page.getByRole("navigation").count(), 0);
    assert.deepEqual(await accessibilityFaults(page), []);
    await signIn(page, "mara", "a wrong password");
    await page.getByText("Name or password is not right").waitFor();
    assert.deepEqual(await accessibilityFaults(page), []);
    await signIn(page, null);
    await page.getByRole("heading", { level: 1, name: "Frames" }).waitFor();
    assert.deepEqual(complaints, []);
    await close();
  }
});

test("signed out in the middle of the work: told at once, nothing typed is lost, what was refused is done", {
  skip: NO_BROWSER,
}, async () => {
  const { page, complaints, close } = await openPage(browser, served.url);
  await signIn(page, "mara");
  await page.getByRole("heading", { level: 1, name: "Today" }).waitFor();
  await page.evaluate(() => document.querySelector("h1")!.setAttribute("data-same", "yes"));
  await page.getByRole("button", { name: "Mara Kohn" }).first().click();
  await page.getByLabel("Present password").fill(PASSWORD);
  await page.getByLabel("New password", { exact: true }).fill("three lamps one shadow");
  await page.getByLabel("New password again").fill("three lamps one shadow");

  await revoke("mara");
  const over = page.getByRole("dialog", { name: "Sign in again" });
  await over.waitFor();
  assert.deepEqual(await accessibilityFaults(page), []);
  await page.keyboard.press("Escape");
  assert.equal(await over.isVisible(), true, "there is no way round it");
  await signIn(page, null);
  await over.waitFor({ state: "detached" });
  assert.equal(await page.getByLabel("New password again").inputValue(), "three lamps one shadow");

  // Refused in the middle of an act: it waits, and is done when they are back.
  await page.route(
    "**/api/people/me/password",
    async (route) => {
      await revoke("mara");
      await route.continue();
    },
    { times: 1 },
  );
  await page.getByRole("button", { name: "Change the password" }).click();
  await over.waitFor();
  await signIn(page, null);
  await page.getByText("The password was changed").waitFor();
  assert.equal(await page.getByLabel("New password again").inputValue(), "");
  assert.equal(await page.locator("h1[data-same]").count(), 1, "the place was never unmounted");
  assert.deepEqual(complaints, []);
  await close();
  await post("people/accounts/mara/sessions/end", { because: "end of the test" });
});

test("each role finds the places where it has work, and no others", { skip: NO_BROWSER }, async () => {
  for (const [login, places] of [
    ["rolf", "Today, Requests, Frames, Measure, Series, Release, Practice, Rehearse"],
    ["ada", "Today, Practice, Rehearse"],
  ] as const) {
    const { page, complaints, close } = await openPage(browser, served.url);
    await signIn(page, login);
    const column = page.getByRole("navigation", { name: "Places" }).getByRole("link");
    await column.first().waitFor();
    assert.equal((await column.allTextContents()).join(", "), places);
    assert.deepEqual(complaints, []);
    await close();
  }
});

test("somebody else who signs in over it begins anew and sees nothing of the one before", {
  skip: NO_BROWSER,
}, async () => {
  const { page, complaints, close } = await openPage(browser, `${served.url}custody`);
  await signIn(page, "rolf");
  await page.getByRole("button", { name: "In an emergency" }).first().waitFor();
  await revoke("rolf");
  await page.getByRole("dialog", { name: "Sign in again" }).waitFor();
  await signIn(page, "vera");
  await page.getByRole("heading", { level: 1, name: "Today" }).waitFor();
  await page.getByRole("button", { name: "Vera Lind" }).first().click();
  await page.getByText("Vera Lind, lead").waitFor();
  assert.deepEqual(await accessibilityFaults(page), []);
  await page.getByRole("button", { name: "Sign out" }).click();
  await page.getByRole("button", { name: "Sign in" }).waitFor();
  await page.goBack();
  await page.getByRole("button", { name: "Sign in" }).waitFor();
  assert.deepEqual(complaints, []);
  await close();
});
