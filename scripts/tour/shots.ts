/// <reference lib="dom" />
import { copyFile, mkdir } from "node:fs/promises";
import { join } from "node:path";
import type { FoundFrames } from "@samescale/server";
import type { Page } from "playwright-core";

/** One picture of the tour: where, what to do there first, and what is to be seen. */
export interface Shot {
  /** Of the files. */
  readonly name: string;
  readonly title: string;
  readonly says: string;
  /** Opens the place and brings it into the state that is shown. @param folder of the demonstration */
  readonly open: (page: Page, folder: string) => Promise<void>;
}

const at = (address: string, ready?: string | RegExp) => async (page: Page) => {
  await page.goto(address);
  if (ready) await page.getByText(ready).first().waitFor();
};

/** A frame of the demonstration that answers to a question of the list. */
async function frameOf(page: Page, question: string): Promise<string> {
  const { frames } = (await (await page.request.get(`/api/frames?${question}`)).json()) as FoundFrames;
  return frames.at(-1)!.frameId;
}

/** The session at the bedside of R-108: its second frame was made too near. */
async function bedside(page: Page, folder: string): Promise<void> {
  const arriving = join(folder, "arriving");
  await mkdir(arriving, { recursive: true });
  await page.goto("/bedside/R-108");
  const begin = page.getByRole("button", { name: "Begin to watch" });
  const cautions = page.getByRole("button", { name: "Read, go on" });
  await begin
    .or(cautions)
    .or(page.getByText(/Still missing/))
    .first()
    .waitFor();
  if (await begin.isVisible()) {
    await page.getByText("Another folder").click();
    await page.getByLabel("Folder on the server").fill(arriving);
    await begin.click();
    await cautions.click();
    for (const name of ["VC010101.JPG", "VC010102.JPG"]) {
      await copyFile(join(folder, "bedside", name), join(arriving, name));
    }
  } else if (await cautions.isVisible()) await cautions.click();
  await page.getByText("Move 3 cm back.").first().waitFor({ timeout: 60_000 });
  await page.waitForFunction(() =>
    [...document.images].every((image) => image.complete && image.naturalWidth > 0),
  );
}

/** The places in the order of the day, as the demonstration shows them. */
export const shots: readonly Shot[] = [
  {
    name: "today",
    title: "Today",
    says: "What is asked for, by time and place; what each request still lacks and the next step; the bag to pack, ticked as it is packed.",
    open: at("/", "Bag for"),
  },
  {
    name: "requests",
    title: "Requests",
    says: "Every request, found by words, state and day.",
    open: at("/requests", "R-101"),
  },
  {
    name: "request",
    title: "One request",
    says: "What is asked for, the mark on the body, what was done; consent, plan and shot card are a step away.",
    open: at("/requests/R-110"),
  },
  {
    name: "consent",
    title: "Consent",
    says: "For each use on its own, with the wording that is read out; given, refused, withdrawn, by whom.",
    open: at("/requests/R-113?show=consent"),
  },
  {
    name: "plan",
    title: "Plan",
    says: "A view set with the numbers for this kit and room: ratio, lens, distance, field, aperture, light, scale.",
    open: at("/requests/R-109?show=plan"),
  },
  {
    name: "bedside",
    title: "Bedside",
    says: "The newest frame, what to do about it in one sentence, what is still missing, the baseline. It arrives by itself.",
    open: bedside,
  },
  {
    name: "card",
    title: "Card",
    says: "A card taken in from a folder or dropped into the page; what was taken in lately, and whether a card may be emptied.",
    open: at("/card"),
  },
  {
    name: "waiting",
    title: "Whose is it",
    says: "Frames that nobody's label tells of wait here; they are dragged or sent by key to a request and visit.",
    open: at("/card/waiting"),
  },
  {
    name: "frames",
    title: "Frames",
    says: "All frames by request and visit, with the verdict, the ratio read beside the one planned, and filters that say what they hide.",
    open: async (page) => {
      const id = await frameOf(page, "frame=picture&verdict=repeat");
      await page.goto(`/frames?at=${id}`);
      await page
        .getByText(/frames/)
        .first()
        .waitFor();
    },
  },
  {
    name: "measure",
    title: "Measure",
    says: "Every graduation that was read is drawn; the outline, its area with the interval and what the interval is made of.",
    open: async (page) => {
      await page.goto(`/measure/${await frameOf(page, "frame=picture&measured=measured")}`);
      await page
        .getByText(/graduations read/)
        .first()
        .waitFor();
      await page.waitForTimeout(1500);
    },
  },
  {
    name: "series",
    title: "Series",
    says: "Visits at the same scale, laid over each other; the chart with intervals, and in words whether a change is larger than the uncertainty.",
    open: async (page) => {
      await page.goto("/series/R-101");
      await page.waitForTimeout(4000);
    },
  },
  {
    name: "release",
    title: "Release",
    says: "What may leave for which use, and why not; what it carries, what stays here, the receipt.",
    open: at("/release/R-101", "What for?"),
  },
  {
    name: "custody",
    title: "Custody",
    says: "What happened to a frame from card to release, in words; verify now; signed heads and proofs.",
    open: async (page) => {
      await page.goto(`/custody/frame/${await frameOf(page, "frame=picture&measured=measured")}`);
      await page.waitForTimeout(1000);
    },
  },
  {
    name: "practice-views",
    title: "Practice: view sets",
    says: "The department's own view sets, each view with its ratio and where it comes from, changed by a form that checks.",
    open: at("/practice/views"),
  },
  {
    name: "practice-figures",
    title: "Practice: figures for the lead",
    says: "Requests by month, turnaround, repeats by cause, what is due; as a table for download too.",
    open: at("/practice/figures"),
  },
  {
    name: "rehearse",
    title: "Rehearse",
    says: "The virtual camera held by hand, with tasks, and the sentence that the bedside would say.",
    open: async (page) => {
      await page.goto("/rehearse");
      await page.waitForTimeout(5000);
    },
  },
];
