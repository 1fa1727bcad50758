import { beginLibrary, checkLibraryPlaces, type PlacesAnswered } from "@samescale/desk";
import type { Command } from "commander";
import { type JsonOption, libraryOption } from "../frame/options.ts";
import { type PlacesOptions, placesOf, placesOptions } from "../frame/places-options.ts";
import { printable } from "../frame/printable.ts";

interface StartOptions extends JsonOption, PlacesOptions {
  readonly library: string;
}

/** `samescale library`: where a department's library is kept (docs/department.md). */
export function configure(command: Command, exit: (code: number) => void): void {
  const start = command
    .command("start")
    .description(
      "make a library whose tables or originals are kept on servers, or join the one that is there",
    );
  libraryOption(withJson(placesOptions(start)))
    .addHelpText(
      "after",
      "\nPassword and keys: $SAMESCALE_TABLES_PASSWORD, $SAMESCALE_STORE_KEY, $SAMESCALE_STORE_SECRET, or secrets.json\n" +
        "(mode 0600) in the library's folder. What is not named is kept in the folder.",
    )
    .action(async (options: StartOptions) => {
      tell(await beginLibrary(options.library, placesOf(options)), options);
      exit(0);
    });
  libraryOption(
    withJson(command.command("check").description("ask both places whether they answer as they must")),
  ).action(async (options: JsonOption & { library: string }) => {
    const answered = await checkLibraryPlaces(options.library);
    tell(answered ?? { tables: null, originals: null }, options);
    exit(answered?.tables?.faults.length ? 1 : 0);
  });
}

const withJson = (command: Command) => command.option("--json", "one JSON object on one line");

function tell(answered: PlacesAnswered, { json }: JsonOption): void {
  process.stdout.write(`${json ? JSON.stringify(answered) : human(answered).map(printable).join("\n")}\n`);
}

function human({ tables, originals }: PlacesAnswered): string[] {
  const lines = [
    tables === null
      ? "Tables: SQLite in the library's folder."
      : `Tables: ${tables.name} answers; it holds ${tables.holds}.`,
    ...(tables?.faults ?? []).map((fault) => `To be put right: ${fault}.`),
    originals === null ? "Originals: in the library's folder." : `Originals: ${originals.name} answers.`,
  ];
  if (originals === null) return lines;
  const { neverReplaces, keepsVersions, objectLock } = originals;
  if (!neverReplaces)
    lines.push("The store does not know If-None-Match: only our own looking keeps it from replacing.");
  if (!keepsVersions)
    lines.push("Switch versions on for the bucket: what is removed by mistake can then be brought back.");
  if (!objectLock)
    lines.push("Object lock is off, or the store has none: who has the keys can remove pictures.");
  return lines;
}
