import { doneOrThrow, makeCard, openDesk } from "@samescale/desk";
import type { Command } from "commander";
import { CommandFailure } from "../frame/failure.ts";
import { type JsonOption, libraryOption, practiceOption } from "../frame/options.ts";
import { practiceInUse } from "../frame/practice-in-use.ts";
import { printable } from "../frame/printable.ts";
import { thisPerson } from "../frame/this-person.ts";

interface Options extends JsonOption {
  readonly library: string;
  readonly practice?: string;
  readonly pdf?: string;
  readonly page?: string;
  readonly replace?: true;
}

/** `samescale card`: the newest plan of a request as a shot card (docs/shot-card.md). */
export function configure(command: Command): void {
  libraryOption(practiceOption(command.argument("<request>", "code of the request")))
    .option("--pdf <file>", "write the card to print, A4")
    .option("--page <file>", "write the card for a phone, one HTML file")
    .option("--replace", "write over files that are there")
    .option("--json", "one JSON object on one line")
    .action(async (requestCode: string, { json, pdf, page, replace, ...options }: Options) => {
      if (pdf === undefined && page === undefined) {
        throw CommandFailure.badArguments(
          "Expected a file to write the card to",
          "Add --pdf FILE for paper, --page FILE for a phone, or both.",
        );
      }
      const { practice } = await practiceInUse(options);
      const desk = await openDesk(options.library, { mode: "open" });
      try {
        const files = { ...(pdf !== undefined && { pdf }), ...(page !== undefined && { page }) };
        const wanted = { requestCode, ...files, replace: replace === true };
        const card = doneOrThrow(await makeCard(desk, await thisPerson(desk), wanted, practice));
        const { codeText, title, patientName, views, refused } = card;
        const written = Object.values(files).map(printable).join(" and ");
        const cannot = refused.map(({ name, reason }) => printable(`! ${name} cannot be made: ${reason}`));
        process.stdout.write(
          json
            ? `${JSON.stringify({ request: requestCode, code: codeText, ...files, viewSet: title, views: views.length, refused, withName: patientName !== null })}\n`
            : `${written}: ${title}, ${views.length} views${patientName === null ? "" : ", with the patient's name"}. Photograph the card first: it is the label frame.\n${cannot.map((says) => `${says}\n`).join("")}`,
        );
      } finally {
        await desk.close();
      }
    });
}
