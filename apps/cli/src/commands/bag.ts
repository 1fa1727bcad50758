import { bagOfDay, calibrationsOf, dueOfScales, openDesk } from "@samescale/desk";
import type { Command } from "commander";
import { dayOption, type JsonOption, libraryOption, practiceOption } from "../frame/options.ts";
import { practiceInUse } from "../frame/practice-in-use.ts";
import { thisPerson } from "../frame/this-person.ts";
import { bagText } from "./bag/human.ts";

interface Options extends JsonOption {
  readonly library: string;
  readonly practice?: string;
  readonly day: string;
}

/** `samescale bag`: what to pack for a day (docs/planning.md). */
export function configure(command: Command): void {
  libraryOption(practiceOption(command))
    .addOption(dayOption("--day", "day of the visits"))
    .option("--json", "one JSON object on one line")
    .action(async (options: Options) => {
      const { practice, folder } = await practiceInUse(options);
      const due = dueOfScales(practice, await calibrationsOf(folder));
      const desk = await openDesk(options.library, { mode: "read" });
      try {
        const { bag, withoutPlan } = await bagOfDay(desk, await thisPerson(desk), practice, options.day, due);
        process.stdout.write(
          `${options.json ? JSON.stringify({ ...bag, withoutPlan }) : bagText(bag, withoutPlan)}\n`,
        );
      } finally {
        await desk.close();
      }
    });
}
