import { doneOrThrow, liftHold, listHolds, placeHold, requestByCode } from "@samescale/desk";
import type { Command } from "commander";
import { type JsonOption, libraryOption } from "../frame/options.ts";
import { printable } from "../frame/printable.ts";
import { thisPerson } from "../frame/this-person.ts";
import { say, withDesk } from "../frame/with-desk.ts";

interface Options extends JsonOption {
  readonly library: string;
  readonly because: string;
  readonly lifted?: true;
}

/** `samescale hold`: legal holds, under which nothing is destroyed (docs/keep.md). */
export function configure(command: Command): void {
  const about = (name: string, says: string) => libraryOption(command.command(name).description(says));
  about("place", "nothing of this is destroyed from now on")
    .argument("<what>", "code of a request, patient/ID or frame/ID")
    .requiredOption("--because <reason>", "who asked for it, in which matter")
    .action(async (what: string, { library, because }: Options) => {
      await withDesk(library, async (desk) => {
        const actor = await thisPerson(desk);
        const named = /^(patient|frame)\/(.+)$/.exec(what);
        const subject =
          named === null
            ? ({ of: "request", id: (await requestByCode(desk, actor, what)).id } as const)
            : { of: named[1] as "patient" | "frame", id: named[2] as string };
        const { id } = doneOrThrow(await placeHold(desk, actor, { ...subject, because }));
        say(`Held: ${id}`);
      });
    });
  about("lift", "the hold is over; others on the same thing stay")
    .argument("<hold>", "its id, as `samescale hold list` shows it")
    .requiredOption("--because <reason>", "who released it")
    .action(async (id: string, { library, because }: Options) => {
      await withDesk(library, async (desk) => {
        const { subject } = doneOrThrow(await liftHold(desk, await thisPerson(desk), { id, because }));
        say(`Lifted: ${subject}`);
      });
    });
  about("list", "what is held, newest first")
    .option("--lifted", "those that were lifted as well")
    .option("--json", "one JSON object per hold")
    .action(async ({ library, json, lifted }: Options) => {
      await withDesk(library, async (desk) => {
        const holds = await listHolds(desk, await thisPerson(desk), { lifted: lifted === true });
        for (const hold of holds) {
          const end =
            hold.lifted_at === null ? "" : `, lifted ${hold.lifted_at.slice(0, 10)}: ${hold.lifted_because}`;
          const words = `${hold.id}  ${hold.subject} since ${hold.made_at.slice(0, 10)}: ${hold.because}${end}`;
          say(json ? JSON.stringify(hold) : printable(words));
        }
      });
    });
}
