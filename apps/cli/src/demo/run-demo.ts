import { join } from "node:path";
import { type Actor, bagOfDay, doneOrThrow, makeCard, openDesk, verify } from "@samescale/desk";
import { createPicturePool, warmUp } from "@samescale/picture";
import { secondPlaceOf } from "@samescale/practice";
import { makeDemoCards } from "@samescale/simulator";
import { bagText } from "../commands/bag/human.ts";
import { serveFolder } from "../serve/serve-folder.ts";
import { planNextVisit, sessionFaults, sessionText, watchSession } from "./bedside.ts";
import { prepareDemoFolder } from "./demo-folder.ts";
import { admit, demoPractice } from "./department.ts";
import { openDay } from "./open-day.ts";
import { passOn } from "./pass-on.ts";
import { plantedFaults } from "./planted.ts";
import { repeatOutlines } from "./repeat-outlines.ts";
import { makeSeries } from "./series.ts";
import {
  accuracyOf,
  frameTable,
  notMeasuredLines,
  plantedLines,
  repeatsLine,
  seriesLines,
} from "./summary.ts";
import { takeCards } from "./take-cards.ts";
import { workVisits } from "./work-visits.ts";

export interface DemoOptions {
  readonly dir: string;
  readonly serve: boolean;
  readonly port: number;
  readonly signal: AbortSignal;
  /** One line on what is being done; for standard error. */
  readonly tell: (line: string) => void;
}

/** Noon after the last visit, and of the day the reports are made: dated in the department's own time. */
const WORK_DAY = new Date("2026-06-02T12:00:00Z");
const REPORT_DAY = new Date("2026-06-10T12:00:00Z");
/** A day with a clinic and a ward. */
const BAG_DAY = "2026-04-13";
const ACTOR: Actor = { name: "Demonstration photographer", role: "photographer" };
const COLLEAGUE: Actor = { name: "Demonstration colleague", role: "photographer" };

/** The whole job over an invented department. Returns 0 when every planted fault was found and the library verifies. */
export async function runDemo({ dir, serve, port, signal, tell }: DemoOptions): Promise<number> {
  const began = performance.now();
  const seconds = () => `${((performance.now() - began) / 1000).toFixed(0)} s`;
  const folder = await prepareDemoFolder(dir);
  const manifest = await makeDemoCards(folder.cards, {
    signal,
    onProgress: (done, total) =>
      tell(`making the camera's cards: ${done} of ${total} pictures, ${seconds()}`),
  });
  let now = () => WORK_DAY;
  const desk = await openDesk(folder.library, { clock: () => now() });
  const practiceFolder = join(folder.library, "practice");
  const practice = await demoPractice(practiceFolder);
  const pool = createPicturePool();
  let isGood = false;
  try {
    const jobs = await admit(desk, ACTOR, manifest, practice);
    tell(`watching a session at the bedside, ${seconds()}`);
    const card = {
      requestCode: "R-108",
      pdf: join(folder.shotCards, "R-108.pdf"),
      page: join(folder.shotCards, "R-108.html"),
      replace: false,
    };
    doneOrThrow(await makeCard(desk, ACTOR, card, practice));
    const folders = { practice: practiceFolder, arriving: folder.bedside };
    await warmUp(pool);
    const session = await watchSession(desk, ACTOR, pool, manifest.session!, practice, folders, signal);
    tell(`taking the cards in, ${seconds()}`);
    const cards = await takeCards(desk, ACTOR, pool, manifest, jobs, secondPlaceOf(practice), signal);
    let worked = 0;
    const visits = await workVisits(
      desk,
      ACTOR,
      pool,
      manifest,
      jobs,
      practice,
      () => tell(`reading scales, outlining, measuring: ${++worked} frames, ${seconds()}`),
      signal,
    );
    const watchedJob = jobs.find(({ code }) => code === session.code)!;
    const nextVisit = await planNextVisit(desk, ACTOR, pool, watchedJob, practice);
    now = () => REPORT_DAY;
    let again = 0;
    const ownRepeats = await repeatOutlines(
      desk,
      [ACTOR, COLLEAGUE],
      pool,
      manifest,
      () => tell(`outlining again, unseen: ${++again} pictures, ${seconds()}`),
      signal,
    );
    tell(`comparing visits, ${seconds()}`);
    const series = await makeSeries(desk, ACTOR, pool, practice, visits, ownRepeats, folder.released, signal);
    tell(`passing on, ${seconds()}`);
    const passed = await passOn(desk, ACTOR, pool, jobs, folder.released, signal);
    await openDay(desk, ACTOR, practice, practiceFolder);
    tell(`verifying, ${seconds()}`);
    const faultsInLibrary: string[] = [];
    for await (const fault of verify(desk)) faultsInLibrary.push(`${fault.subject}: ${fault.fault}`);
    tell("");

    const frames = visits.flatMap((visit) => visit.frames);
    const planted = plantedFaults(manifest, cards, frames);
    const accuracy = accuracyOf(frames);
    const { bag, withoutPlan } = await bagOfDay(desk, ACTOR, practice, BAG_DAY, new Map());
    const lines = [
      bagText(bag, withoutPlan),
      "",
      `Shot card of R-108: ${card.pdf} and ${card.page}`,
      "",
      sessionText(session),
      "",
      nextVisit,
      "",
      frameTable(visits),
      ...notMeasuredLines(visits),
      "",
      "Planted faults:",
      plantedLines(planted),
      "",
      "Series:",
      seriesLines(series),
      "",
      repeatsLine(ownRepeats),
      "",
      "Passed on, as far as consent reaches:",
      ...passed.lines.map((line) => `  ${line}`),
      "",
      `Ratio read within 1 % of the truth (lean up to 10°): ${accuracy.ratiosWithinOnePercent} of ${accuracy.ratios}.`,
      `True area inside the stated interval: ${accuracy.areasInInterval} of ${accuracy.areas}.`,
      `${cards.stored} originals stored; cards ${cards.cardsMayBeErased ? "may" : "must NOT"} be erased; library ${faultsInLibrary.length === 0 ? "verified, nothing altered" : `has ${faultsInLibrary.length} faults: ${faultsInLibrary.join("; ")}`}.`,
      `Department, patients and pictures are invented. Done in ${seconds()}: ${folder.root}`,
    ];
    process.stdout.write(`${lines.join("\n")}\n`);
    isGood =
      planted.every(({ told }) => told !== null) &&
      sessionFaults(session).length === 0 &&
      passed.faults.length === 0 &&
      faultsInLibrary.length === 0;
  } finally {
    await pool.close();
    await desk.close();
  }
  if (serve) await serveFolder(folder.library, { port });
  return isGood ? 0 : 1;
}
