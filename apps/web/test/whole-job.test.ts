import assert from "node:assert/strict";
import { mkdir, readdir, readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { after, before, test } from "node:test";
import type { FoundFrames, FrameAtMeasure } from "@samescale/server";
import type { Browser, Page } from "playwright-core";
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

const get = async <Answer>(path: string): Promise<Answer> =>
  (await (await fetch(`${served.url}api/${path}`)).json()) as Answer;

/** One picture of the demonstration with other bytes (a comment in it), as it lies on another card. */
async function cardWith(fileName: string): Promise<string> {
  const cards = join(served.folder, "cards");
  const [at = ""] = (await readdir(cards, { recursive: true })).filter((path) => path.endsWith(fileName));
  const bytes = await readFile(join(cards, at));
  const comment = Buffer.concat([Buffer.from([0xff, 0xfe, 0, 7]), Buffer.from("again")]);
  const card = join(served.folder, "brought", "WHOLE-JOB");
  await mkdir(join(card, "DCIM"), { recursive: true });
  await writeFile(
    join(card, "DCIM", fileName),
    Buffer.concat([bytes.subarray(0, 2), comment, bytes.subarray(2)]),
  );
  return card;
}

const middleOf = (ring: readonly (readonly [number, number])[]) => ({
  x: ring.reduce((sum, [x]) => sum + x, 0) / ring.length,
  y: ring.reduce((sum, [, y]) => sum + y, 0) / ring.length,
});

async function clickInPicture(page: Page, at: { x: number; y: number }): Promise<void> {
  const { x, y } = await page.evaluate((point) => {
    const drawn = document.querySelector<SVGGElement>("[role=application] svg > g")!;
    const place = new DOMPoint(point.x, point.y).matrixTransform(drawn.getScreenCTM()!);
    return { x: place.x, y: place.y };
  }, at);
  await page.mouse.click(x, y);
}

test("the whole job: asked for, consented, planned, taken in, given, measured, released, and told from the log", {
  skip: NO_BROWSER,
}, async () => {
  const { page, complaints, close } = await openPage(browser, `${served.url}requests/new`);

  // Asked for.
  await page.getByRole("textbox", { name: "Patient's number", exact: true }).fill("FH345678");
  await page.getByRole("textbox", { name: "Date of birth", exact: true }).fill("1971-02-28");
  await page.getByText(/^New here/).waitFor();
  await page.getByRole("textbox", { name: "Name", exact: true }).fill("Tilda Rowanwood");
  await page.getByRole("button", { name: "Add a part" }).click();
  await page.getByRole("textbox", { name: "Part", exact: true }).fill("lower leg");
  await page.getByRole("textbox", { name: "Purpose", exact: true }).fill("ulcer, first pictures");
  await page.getByRole("button", { name: "Open the request" }).click();
  await page.getByRole("heading", { level: 1, name: "Tilda Rowanwood" }).waitFor();
  const code = page.url().match(/requests\/([A-Z0-9-]+)/)?.[1] ?? "";

  // Consent for the record; planned.
  await page.goto(`/requests/${code}?show=consent`);
  await page.getByRole("button", { name: "Agrees: Health record" }).click();
  await page.getByText("Health record: agreed.").waitFor();
  await page.goto(`/requests/${code}?show=plan`);
  await page.getByRole("button", { name: /View set/ }).click();
  await page.getByRole("option", { name: /Wound, either side/ }).click();
  await page.getByText("Name the side: left or right.").waitFor();
  await page.getByRole("radio", { name: "left", exact: true }).click({ force: true });
  await page.getByRole("region", { name: "Close-up with L-scale" }).waitFor();
  await page.getByRole("button", { name: "Keep this plan" }).click();
  await page.getByRole("button", { name: "Plan anew" }).waitFor();

  // Taken in without a label, given to the request by a person.
  const { frames } = await get<FoundFrames>("frames?request=R-101&frame=picture&measured=measured");
  const known = await get<FrameAtMeasure>(`measure/frames/${frames.at(-1)!.frameId}`);
  const card = await cardWith(known.frame.name);
  await page.goto("/card");
  const chooser = page.waitForEvent("filechooser");
  await page.getByRole("button", { name: "Choose a card or folder" }).click();
  await (await chooser).setFiles(card);
  await page
    .getByText(/card (may be emptied|must not be emptied)|Do not empty the card/i)
    .first()
    .waitFor();
  await page.getByRole("link", { name: "Say whose they are" }).click();
  const waiting = page.getByRole("grid", { name: /^Frames that wait, WHOLE-JOB/ });
  await waiting.getByRole("row").first().focus();
  await page.keyboard.press("Space");
  await page.keyboard.press("p");
  await page.getByRole("dialog", { name: "Give 1 frame to …" }).waitFor();
  await page.keyboard.type(code);
  await page.keyboard.press("ArrowDown");
  await page.keyboard.press("Enter");
  await page.getByRole("button", { name: "The day sheet says so" }).click();
  await page.getByText(`1 frame to ${code}.`).waitFor();

  // Measured: the same wound as in the picture that it was made from.
  const { frames: given } = await get<FoundFrames>(`frames?request=${code}`);
  assert.equal(given.length, 1);
  const { frameId } = given[0]!;
  await page.goto(`/measure/${frameId}`);
  await page.getByRole("button", { name: "Read the scale" }).click();
  await page.getByText(/graduations read/).waitFor();
  await page.getByText("Click in its middle").waitFor();
  await clickInPicture(page, middleOf(known.outlines[0]!.regions[0]!.outline as [number, number][]));
  await page.getByText(/^1 region/).waitFor();
  await page.getByRole("button", { name: "Keep outline and figures" }).click();
  await page.getByText("Outline and figures are kept").waitFor();
  const measured = await get<FrameAtMeasure>(`measure/frames/${frameId}`);
  const [one, other] = [measured, known].map((at) => at.outlines[0]!.measurement!.regions[0]!.areaMm2);
  assert.ok(
    Math.abs(one!.value - other!.value) < one!.u95 + other!.u95,
    `${one!.value}, ${other!.value} mm²`,
  );

  // Released to the record; teaching is not reached.
  await page.goto(`/release/${code}?scope=teaching`);
  await page
    .getByText(/No consent was given|Nobody/)
    .first()
    .waitFor();
  assert.equal(await page.getByRole("button", { name: "Release now" }).isDisabled(), true);
  await page.goto(`/release/${code}?scope=health-record`);
  await page.getByLabel("Recipient").fill("the record system");
  await page.getByLabel("What they use it for").fill("the patient's record");
  await page.getByText(/can leave like this/).waitFor();
  await page.getByRole("button", { name: "Release now" }).click();
  await page.getByRole("heading", { level: 1, name: /^Receipt [A-Z0-9]{8}$/ }).waitFor();

  // Told from the log, from card to release.
  await page.goto(`/custody/frame/${frameId}`);
  for (const words of [/stored|kept|taken in/i, /placed|whose/i, /outline/i, /measur/i, /left|released/i]) {
    await page.getByRole("main").getByText(words).first().waitFor();
  }
  assert.deepEqual(complaints, []);
  await close();
});
