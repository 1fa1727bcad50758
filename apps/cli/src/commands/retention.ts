import {
  destroyPictures,
  doneOrThrow,
  finishDestroying,
  requestByCode,
  retentionProposals,
} from "@samescale/desk";
import type { Command } from "commander";
import { dayOption, type JsonOption, libraryOption, practiceOption } from "../frame/options.ts";
import { practiceInUse } from "../frame/practice-in-use.ts";
import { printable } from "../frame/printable.ts";
import { inMB } from "../frame/rate-line.ts";
import { thisPerson } from "../frame/this-person.ts";
import { say, withDesk } from "../frame/with-desk.ts";

interface Options extends JsonOption {
  readonly library: string;
  readonly practice?: string;
  readonly on: string;
  readonly because: string;
  readonly frame?: string[];
}

/** `samescale retention`: what is over its time, and destroying it by a person (docs/keep.md). */
export function configure(command: Command): void {
  const about = (name: string, says: string) =>
    libraryOption(practiceOption(command.command(name).description(says)));
  about("list", "what is over its time, with the rule and the day; nothing is destroyed by looking")
    .addOption(dayOption("--on", "as of this day"))
    .option("--json", "one JSON object per request")
    .action(async ({ json, on, ...options }: Options) => {
      const { practice } = await practiceInUse(options);
      await withDesk(options.library, async (desk) => {
        for await (const found of retentionProposals(desk, await thisPerson(desk), practice, on)) {
          const against = found.against.map((reason) => `\n  against it: ${printable(reason)}`).join("");
          const { code, originals, bytes, rule, why } = found;
          say(
            json
              ? JSON.stringify(found)
              : `${printable(code)}: ${originals} originals, ${inMB(bytes)}. ${printable(`${rule}. ${why}`)}.${against}`,
          );
        }
      });
    });
  about("destroy", "destroy the pictures of a request whose time is over; the rows stay and tell of it")
    .argument("<request>", "code of the request")
    .requiredOption("--because <reason>", "why")
    .option("--frame <id...>", "only these frames of it")
    .option("--json", "one JSON object on one line")
    .action(async (code: string, { json, because, frame, ...options }: Options) => {
      const { practice } = await practiceInUse(options);
      await withDesk(options.library, async (desk) => {
        const actor = await thisPerson(desk);
        const { id: requestId } = await requestByCode(desk, actor, code);
        const destroying = { requestId, frameIds: frame ?? null, because, practice };
        const done = doneOrThrow(await destroyPictures(desk, actor, destroying));
        const left = done.left.map((sentence) => `\nStill to do: ${printable(sentence)}.`).join("");
        const count = `${done.originals} originals and ${done.derived} pictures made from them are destroyed.`;
        say(json ? JSON.stringify({ request: code, ...done }) : `${count}${left}`);
      });
    });
  about(
    "finish",
    "remove what the record says was destroyed and is still here, after a run that was killed",
  ).action(async ({ library }: Options) => {
    await withDesk(library, async (desk) => {
      const { originals, derived } = await finishDestroying(desk);
      say(`${originals} originals and ${derived} pictures made from them were still here and are gone.`);
    });
  });
}
