import {
  type Consequences,
  type Desk,
  doneOrThrow,
  openDesk,
  placeFrames,
  requestByCode,
  undoPlacing,
  type WaitingFrame,
  waitingFrames,
} from "@samescale/desk";
import type { Command } from "commander";
import { type JsonOption, libraryOption } from "../frame/options.ts";
import { printable } from "../frame/printable.ts";
import { thisPerson } from "../frame/this-person.ts";

interface InLibrary extends JsonOption {
  readonly library: string;
}

/** `samescale place`: whose a frame is, said by a person (docs/intake.md). */
export function configure(command: Command): void {
  const sub = (name: string, says: string) =>
    libraryOption(command.command(name).description(says)).option("--json", "one JSON object on each line");
  sub("waiting", "frames that wait for a person to say whose they are, and why").action(waiting);
  sub("to", "give frames to a request, or move them there from another")
    .argument("<code>", "code of the request")
    .argument("<frame...>", "ids of frames, as `waiting` lists them")
    .requiredOption("--because <why>", "how it is known; it stays in the log")
    .option("--visit <id>", "which of two visits of a day (without: the visit of the frame's day)")
    .action(to);
  sub("nobody", "take frames away from a request: they wait again")
    .argument("<frame...>", "ids of frames")
    .requiredOption("--because <why>", "what was wrong; it stays in the log")
    .action(nobody);
  sub("undo", "take the last placing back; again: the one before that").action(undo);
}

type Because = { readonly because: string };

async function waiting(options: InLibrary): Promise<void> {
  await atDesk(options, async (desk) => {
    const frames = await waitingFrames(desk, await thisPerson(desk));
    if (options.json) sayJson(...frames);
    else say(...waitingText(frames));
  });
}

function waitingText(frames: readonly WaitingFrame[]): string[] {
  if (frames.length === 0) return ["No frame waits: every one belongs to a request."];
  const lines = frames.flatMap(({ frameId, folder, name, takenAt, why, flags }) => [
    `${frameId}  ${folder === "" ? name : `${folder}/${name}`}${takenAt ? `, ${takenAt.replace("T", " ")}` : ""}`,
    `  ${why}.`,
    ...flags.map((flag) => `  ! ${flag}`),
  ]);
  return [
    ...lines,
    `${frames.length} wait. Give them to a request: samescale place to CODE FRAME… --because WHY`,
  ];
}

async function to(code: string, frameIds: string[], options: InLibrary & Because & { visit?: string }) {
  await atDesk(options, async (desk) => {
    const actor = await thisPerson(desk);
    const { id } = await requestByCode(desk, actor, code);
    const visit = options.visit === undefined ? {} : { visitId: options.visit };
    const place = { frameIds, requestId: id, because: options.because, ...visit };
    const placed = doneOrThrow(await placeFrames(desk, actor, place));
    if (options.json) return sayJson({ request: code, ...placed });
    say(`${counted(placed.moved)} to request ${code}.`, ...placed.doubts, ...consequencesText(placed));
  });
}

async function nobody(frameIds: string[], options: InLibrary & Because) {
  await atDesk(options, async (desk) => {
    const place = { frameIds, requestId: null, because: options.because };
    const placed = doneOrThrow(await placeFrames(desk, await thisPerson(desk), place));
    if (options.json) return sayJson({ request: null, ...placed });
    say(`${counted(placed.moved)} back to those that wait.`, ...consequencesText(placed));
  });
}

async function undo(options: InLibrary) {
  await atDesk(options, async (desk) => {
    const undone = doneOrThrow(await undoPlacing(desk, await thisPerson(desk), null));
    if (options.json) return sayJson(undone);
    const { frames, doneBy, doneAt, because, entry } = undone;
    say(
      `${counted(frames.length)} back to where ${frames.length === 1 ? "it was" : "they were"}.`,
      `Undone: what ${doneBy} did at ${doneAt} ("${because}"), entry ${entry} of the log. Both stay in the log.`,
      ...consequencesText(undone),
    );
  });
}

const counted = (frames: number) => (frames === 1 ? "1 frame goes" : `${frames} frames go`);

/** What had left already, and what was made for the other request. */
function consequencesText({ released, stale }: Consequences): string[] {
  const left = released.map(
    ({ name, recipient, day, frameId }) => `  ${day} ${name} to ${recipient} (${frameId})`,
  );
  const made = stale.map(({ kind, id, frameId }) => `  ${kind} ${id} (${frameId})`);
  return [
    ...(left.length > 0 ? ["Left the department before this, and has to be asked back:", ...left] : []),
    ...(made.length > 0 ? ["Made for the other request, to be made anew without it:", ...made] : []),
  ];
}

async function atDesk({ library }: InLibrary, work: (desk: Desk) => Promise<void>): Promise<void> {
  const desk = await openDesk(library, { mode: "open" });
  try {
    await work(desk);
  } finally {
    await desk.close();
  }
}

function say(...lines: readonly string[]): void {
  for (const line of lines) process.stdout.write(`${printable(line)}\n`);
}

function sayJson(...values: readonly object[]): void {
  for (const value of values) process.stdout.write(`${JSON.stringify(value)}\n`);
}
