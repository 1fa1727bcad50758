import {
  doneOrThrow,
  type ListedOpening,
  letIn,
  listOpenings,
  markSensitive,
  openInEmergency,
  requestByCode,
  reviewOpening,
  type SensitiveCategory,
} from "@samescale/desk";
import type { Command } from "commander";
import { CATEGORIES_SAID, categories } from "../frame/categories.ts";
import { CommandFailure } from "../frame/failure.ts";
import { day, type JsonOption, libraryOption } from "../frame/options.ts";
import { printable } from "../frame/printable.ts";
import { thisPerson } from "../frame/this-person.ts";
import { withDesk } from "../frame/with-desk.ts";

interface Because {
  readonly library: string;
  readonly because: string;
}

/** `samescale access`: who sees what is sensitive, and emergencies (docs/people.md). */
export function configure(command: Command): void {
  const about = (name: string, description: string) =>
    libraryOption(command.command(name).description(description));
  about("mark", "say why few may see a request or a frame, or that the reason is gone (--as nothing)")
    .argument("<what>", "code of a request, or frame/ID")
    .requiredOption("--as <categories>", `${CATEGORIES_SAID}; with commas, or nothing`, categories("--as"))
    .requiredOption("--because <reason>", "why")
    .action(async (what: string, options: Because & { as: SensitiveCategory[] }) => {
      await withDesk(options.library, async (desk) => {
        const { as, because } = options;
        const actor = await thisPerson(desk);
        const of = what.startsWith("frame/")
          ? { frameId: what.slice("frame/".length) }
          : { requestId: (await requestByCode(desk, actor, what)).id };
        doneOrThrow(await markSensitive(desk, actor, { of, categories: as, because }));
        say(as.length === 0 ? "Nothing narrows it any more." : `Marked: ${as.join(", ")}.`);
      });
    });
  about("let-in", "name all who see a request besides those whose work it is")
    .argument("<request>", "code of the request")
    .argument("[login...]", "sign-in names; none: nobody")
    .requiredOption("--because <reason>", "why")
    .action(async (code: string, logins: string[], { library, because }: Because) => {
      await withDesk(library, async (desk) => {
        const actor = await thisPerson(desk);
        const { id: requestId } = await requestByCode(desk, actor, code);
        doneOrThrow(await letIn(desk, actor, { requestId, logins, because }));
        say(logins.length === 0 ? "Nobody is named for it." : `Named for it: ${logins.join(", ")}.`);
      });
    });
  about(
    "open",
    "in an emergency: open what is hidden of a patient, for four hours; lead and auditors are told",
  )
    .requiredOption("--patient <number>", "the patient's number")
    .option("--born <day>", "the patient's date of birth", day("--born"))
    .option("--patient-name <name>", "the patient's name, where no date of birth is on record")
    .requiredOption("--because <reason>", "why, so that somebody else can follow")
    .action(async (options: Because & { patient: string; born?: string; patientName?: string }) => {
      const birthDateOrName = options.born ?? options.patientName;
      if (birthDateOrName === undefined) {
        throw CommandFailure.badArguments(
          "Expected --born or --patient-name",
          "A number alone opens nothing.",
        );
      }
      await withDesk(options.library, async (desk) => {
        const { patient: patientNumber, because } = options;
        const emergency = { patientNumber, birthDateOrName, because };
        const { requests, until } = doneOrThrow(
          await openInEmergency(desk, await thisPerson(desk), emergency),
        );
        const codes = requests.map(({ code }) => code).join(", ");
        say(`Open until ${minute(until)} UTC: ${codes}. The lead and the auditors are told.`);
      });
    });
  about("openings", "what was opened in emergencies and not looked into yet")
    .option("--all", "those that were looked into as well")
    .option("--json", "one JSON object per line and opening")
    .action(async ({ library, all, json }: { library: string; all?: true } & JsonOption) => {
      await withDesk(library, async (desk) => {
        const openings = await listOpenings(desk, await thisPerson(desk), all ? "all" : "unreviewed");
        for (const opening of openings) say(json ? JSON.stringify(opening) : openingText(opening));
        if (openings.length === 0 && !json) say("None.");
      });
    });
  about("review", "say what was found about an opening (lead, auditors)")
    .argument("<opening>", "its id, from `samescale access openings`")
    .requiredOption("--finding <text>", "what was found")
    .action(async (id: string, { library, finding }: { library: string; finding: string }) => {
      await withDesk(library, async (desk) => {
        doneOrThrow(await reviewOpening(desk, await thisPerson(desk), { id, finding }));
        say("Reviewed.");
      });
    });
}

function openingText(opening: ListedOpening): string {
  const { id, requestCode, login, name, because, madeAt, until, reviewedAt, reviewedBy, review } = opening;
  const found = reviewedAt === null ? "" : ` Reviewed by ${reviewedBy} on ${minute(reviewedAt)}: ${review}.`;
  return `${id}  ${requestCode}, ${name} (${login}), ${minute(madeAt)} to ${minute(until)} UTC: ${because}.${found}`;
}

const minute = (time: string): string => time.slice(0, 16).replace("T", " ");

/** Names and reasons that people typed are in it. */
const say = (line: string): void => void process.stdout.write(`${printable(line)}\n`);
