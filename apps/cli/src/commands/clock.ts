import {
  type Actor,
  clockAsBooked,
  clockFromFrame,
  correctClock,
  type Desk,
  doneOrThrow,
  type FoundCorrection,
  openDesk,
  suspectClocks,
} from "@samescale/desk";
import type { Command } from "commander";
import { CommandFailure } from "../frame/failure.ts";
import { between, type JsonOption, libraryOption } from "../frame/options.ts";
import { printable } from "../frame/printable.ts";
import { thisPerson } from "../frame/this-person.ts";

interface InLibrary extends JsonOption {
  readonly library: string;
}

/** A century: whatever a clock that lost its battery says. */
const MOST_S = 100 * 366 * 86_400;

/** `samescale clock`: a camera's clock that ran wrong, put right beside what the camera wrote (docs/intake.md). */
export function configure(command: Command): void {
  const sub = (name: string, says: string) =>
    libraryOption(command.command(name).description(says)).option("--json", "one JSON object on each line");
  sub("check", "cards whose label frames speak against their camera's clock").action(check);
  sub("from-frame", "put a card right by its photograph of a clock that runs right")
    .argument("<frame>", "id of the frame that shows the clock")
    .requiredOption("--shows <time>", 'what the clock shows, such as "2026-03-15 09:02:30"')
    .action((frame: string, options: InLibrary & { shows: string }) =>
      correct(options, (desk) => clockFromFrame(desk, frame, options.shows)),
    );
  sub("as-booked", "put a card right by its label frames and the times booked for them, in whole hours")
    .argument("<intake>", "id of the intake, as `check` lists it")
    .action((intakeId: string, options: InLibrary) =>
      correct(options, (desk, actor) => clockAsBooked(desk, actor, intakeId)),
    );
  sub("set", "put a card right by a number of seconds")
    .argument("<intake>", "id of the intake")
    .requiredOption(
      "--add-s <seconds>",
      "seconds to add to what the camera wrote, such as --add-s=-3600; 0: it was right",
      between("--add-s", -MOST_S, MOST_S),
    )
    .requiredOption("--because <why>", "how it is known; it stays in the log")
    .action((intakeId: string, options: InLibrary & { addS: number; because: string }) =>
      correct(options, async () => ({ intakeId, offsetS: options.addS, because: options.because })),
    );
}

async function check(options: InLibrary): Promise<void> {
  await atDesk(options, async (desk, actor) => {
    const suspects = await suspectClocks(desk, actor);
    if (options.json) {
      for (const suspect of suspects) process.stdout.write(`${JSON.stringify(suspect)}\n`);
      return;
    }
    if (suspects.length === 0) process.stdout.write("No card's label frames speak against its clock.\n");
    for (const { intakeId, cardPath, aheadS, labelFrames } of suspects) {
      const by = `${spanned(Math.abs(aheadS))} ${aheadS > 0 ? "ahead" : "behind"}`;
      const line = `${intakeId}  ${cardPath}: the clock ran about ${by}, by ${labelFrames} label frames against the times booked`;
      process.stdout.write(`${printable(line)}\n`);
    }
  });
}

async function correct(
  options: InLibrary,
  find: (desk: Desk, actor: Actor) => Promise<FoundCorrection>,
): Promise<void> {
  await atDesk(options, async (desk, actor) => {
    const correction = await find(desk, actor);
    if ("refused" in correction)
      throw CommandFailure.badArguments(
        correction.refused,
        "Look at samescale clock check; nothing was changed.",
      );
    const { frames } = doneOrThrow(await correctClock(desk, actor, correction));
    const { offsetS, because } = correction;
    if (options.json) return void process.stdout.write(`${JSON.stringify({ ...correction, frames })}\n`);
    const way = offsetS === 0 ? "nothing" : `${spanned(Math.abs(offsetS))} ${offsetS < 0 ? "less" : "more"}`;
    const line = `${frames} frames: ${way} than the camera wrote, which stays beside it. ${because}.`;
    process.stdout.write(`${printable(line)}\n`);
  });
}

/** 93784 s is `1 d 2 h 3 min 4 s`. */
function spanned(seconds: number): string {
  const parts: readonly (readonly [number, string])[] = [
    [Math.floor(seconds / 86_400), "d"],
    [Math.floor(seconds / 3600) % 24, "h"],
    [Math.floor(seconds / 60) % 60, "min"],
    [Math.round(seconds) % 60, "s"],
  ];
  const said = parts.flatMap(([value, unit]) => (value > 0 ? [`${value} ${unit}`] : []));
  return said.join(" ") || "0 s";
}

async function atDesk(
  { library }: InLibrary,
  work: (desk: Desk, actor: Actor) => Promise<void>,
): Promise<void> {
  const desk = await openDesk(library, { mode: "open" });
  try {
    await work(desk, await thisPerson(desk));
  } finally {
    await desk.close();
  }
}
