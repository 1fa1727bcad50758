import { copyFile, mkdir, rename } from "node:fs/promises";
import { join } from "node:path";
import {
  type Actor,
  type Desk,
  doneOrThrow,
  repeatRequest,
  type WatchLine,
  watchFolder,
  watchPlanOf,
} from "@samescale/desk";
import { formatRatio } from "@samescale/optics";
import type { PicturePool } from "@samescale/picture";
import type { Practice } from "@samescale/practice";
import type { MadeCard, MadeFrame } from "@samescale/simulator";
import { watchLineText } from "../commands/watch/human.ts";
import type { DemoJob } from "./department.ts";

/** A session as it was watched, frame by frame. */
export interface WatchedSession {
  readonly code: string;
  readonly lines: readonly { readonly made: MadeFrame; readonly line: WatchLine }[];
}

/**
 * The frames of one session arrive in a folder, each as the camera would send it, and are judged before the next one is
 * made: the photographer hears what to do while the patient is there.
 */
export async function watchSession(
  desk: Desk,
  actor: Actor,
  pool: PicturePool,
  session: MadeCard,
  practice: Practice,
  folders: { readonly practice: string; readonly arriving: string },
  signal: AbortSignal,
): Promise<WatchedSession> {
  const code = session.frames[0]!.requestCode;
  const plan = await watchPlanOf(desk, actor, pool, code, practice, folders.practice);
  await mkdir(folders.arriving, { recursive: true });
  const stop = new AbortController();
  const watched = watchFolder(folders.arriving, pool, plan, {
    signal: AbortSignal.any([signal, stop.signal]),
  });
  const lines: { made: MadeFrame; line: WatchLine }[] = [];
  try {
    for (const made of session.frames) {
      await arrive(made, folders.arriving);
      const { value: line, done } = await watched.next();
      if (done) break;
      lines.push({ made, line });
    }
  } finally {
    stop.abort();
    await watched.return(undefined);
  }
  return { code, lines };
}

/** Receivers write under a passing name and rename when the file is whole. */
async function arrive({ path, fileName }: MadeFrame, folder: string): Promise<void> {
  const passing = join(folder, `.${fileName}.part`);
  await copyFile(path, passing);
  await rename(passing, join(folder, fileName));
}

/** What was said, and whether the two wrong frames were named and their repeats put it right. */
export function sessionText({ code, lines }: WatchedSession): string {
  return [
    `At the bedside (${code}), as each frame arrived:`,
    ...lines.map(({ line }) => indented(watchLineText(line))),
  ].join("\n");
}

const indented = (text: string): string => `  ${text.replaceAll("\n", "\n  ")}`;

/** Frames that were wrong on purpose and not refused by what was planted, or right and not kept. */
export function sessionFaults({ lines }: WatchedSession): readonly string[] {
  return lines.flatMap(({ made, line }) => {
    if (!("verdict" in line)) return [`${made.fileName}: no verdict`];
    const wanted = made.planted.find(({ fault }) => fault === "ratio" || fault === "lean")?.fault;
    const said =
      wanted === undefined
        ? line.verdict === "keep"
        : line.verdict === "repeat" && line.findings[0]?.what === wanted;
    return said ? [] : [`${made.fileName}: ${line.verdict}, ${line.say}`];
  });
}

/** The next visit's plan from what was really done at this one, kept with the request. */
export async function planNextVisit(
  desk: Desk,
  actor: Actor,
  pool: PicturePool,
  { requestId, code }: DemoJob,
  practice: Practice,
): Promise<string> {
  const { plan, notes } = doneOrThrow(
    await repeatRequest(desk, actor, pool, { requestId, wishes: {}, save: true }, practice),
  );
  const views = plan.views.map(
    ({ view, magnification, lens, camera }) =>
      `  ${view.name}: ${formatRatio(magnification)}, ${lens.name}. ${camera}`,
  );
  return [
    `Next visit of ${code}, planned from what was really done:`,
    ...views,
    ...notes.map((note) => `  ${note}`),
  ].join("\n");
}
