import { bagOfDay, calibrationsOf, dueOfScales, openDesk } from "@samescale/desk";
import type { BagList } from "@samescale/practice";
import type { Command } from "commander";
import { day, type JsonOption, libraryOption, practiceOption } from "../frame/options.ts";
import { practiceInUse } from "../frame/practice-in-use.ts";
import { printable } from "../frame/printable.ts";

interface Options extends JsonOption {
  readonly library: string;
  readonly practice?: string;
  readonly day: string;
}

/** `samescale bag`: what to pack for a day (docs/planning.md). */
export function configure(command: Command): void {
  libraryOption(practiceOption(command))
    .option("--day <day>", "day of the visits", day("--day"), new Date().toISOString().slice(0, 10))
    .option("--json", "one JSON object on one line")
    .action(async (options: Options) => {
      const { practice, folder } = await practiceInUse(options);
      const due = dueOfScales(practice, await calibrationsOf(folder));
      const desk = await openDesk(options.library, { mode: "read" });
      try {
        const { bag, withoutPlan } = await bagOfDay(desk, practice, options.day, due);
        process.stdout.write(
          `${options.json ? JSON.stringify({ ...bag, withoutPlan }) : bagText(bag, withoutPlan)}\n`,
        );
      } finally {
        await desk.close();
      }
    });
}

/** What is wrong first: there may be time to put it right. */
function bagText(
  { day: on, visits, lines, cleanBetween, minutes }: BagList,
  withoutPlan: readonly string[],
): string {
  if (visits.length === 0 && withoutPlan.length === 0) return `No visits on ${on}: nothing to pack.`;
  const faults = [
    ...withoutPlan.map((code) => `! ${code} has no plan: nothing is packed for it`),
    ...visits.flatMap(({ requestCode, refused }) => refused.map((why) => `! ${requestCode}: ${why}`)),
    ...lines.flatMap(({ what, missing, toDo }) => [
      ...(missing === null ? [] : [`! ${what}: ${missing}`]),
      ...toDo.map((says) => `! ${what}: ${says}`),
    ]),
  ];
  const staying = visits
    .filter(({ carried }) => !carried)
    .map(({ requestCode, place }) => `${requestCode} (${place})`);
  return [
    `Bag for ${on}: ${visits.map(({ requestCode, place }) => `${requestCode} ${place}`).join(", ")}; about ${Math.ceil(minutes)} minutes with the patients`,
    ...faults.map(printable),
    "",
    ...lines.map(bagLine),
    ...(staying.length > 0 ? ["", `Made where the kit stands, nothing to carry: ${staying.join(", ")}`] : []),
    ...(cleanBetween.length > 0 ? ["", `Between patients clean: ${cleanBetween.join("; ")}`] : []),
  ].join("\n");
}

function bagLine({ count, spare, what, where, for: wanted }: BagList["lines"][number]): string {
  const extra = spare > 0 ? `, ${spare} of them spare` : "";
  const place = where === null ? "" : `, from ${where}`;
  return printable(`[ ] ${String(count).padStart(3)} × ${what}${extra}${place}  (${wanted.join(", ")})`);
}
