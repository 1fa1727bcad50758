import { userInfo } from "node:os";
import { headText, restore } from "@samescale/desk";
import type { Command } from "commander";
import { type SecretOptions, secretOf, secretOptions } from "../frame/backup-secret.ts";
import type { JsonOption } from "../frame/options.ts";
import { type PlacesOptions, placesOf, placesOptions } from "../frame/places-options.ts";
import { printable } from "../frame/printable.ts";
import { inMB, rateLine } from "../frame/rate-line.ts";
import { isInStore, placeWanted } from "../frame/store-options.ts";
import { streamLines } from "../frame/stream-lines.ts";

interface Options extends JsonOption, SecretOptions, PlacesOptions {
  readonly backup?: string;
  readonly placeEndpoint?: string;
  readonly placeRegion?: string;
}

type Done = Awaited<ReturnType<typeof restore>>;

/** `samescale restore`: a library put back from its backup, and proved (docs/keep.md). */
export function configure(command: Command, exit: (code: number) => void): void {
  const withArguments = command
    .argument("<place>", "folder of the backups, or s3://BUCKET/PREFIX; it is only read")
    .argument("<folder>", "where the library shall be: nothing may be there");
  placesOptions(secretOptions(withArguments))
    .option("--place-endpoint <address>", "where the backups' store is, if it is another than the originals'")
    .option("--place-region <name>", "its region")
    .option("--backup <name>", "which one (default: the newest)")
    .option("--json", "one JSON object on one line")
    .addHelpText(
      "after",
      "\nStopped or killed, the same command goes on where it was. Without --tables and --originals all of it is put\n" +
        "into the folder. Password and keys come from the environment or the file that $SAMESCALE_SECRETS names\n" +
        "(docs/department.md).",
    )
    .action(async (place: string, folder: string, options: Options) => {
      const secret = await secretOf(options);
      const line = rateLine();
      let faults = 0;
      const status = await streamLines<Done>({
        async *lines(signal) {
          const done = await restore(
            { name: userInfo().username, role: "photographer" },
            {
              ...from(place, options),
              ...to(options),
              folder,
              secret,
              backup: options.backup ?? null,
              signal,
              onProgress: ({ step, done, of, bytes }) =>
                line.show(
                  (seconds) => `${step}: ${done} of ${of}, ${inMB(bytes / Math.max(seconds, 0.1))}/s`,
                ),
              onVerify: ({ originals, of }) => line.show(() => `checking: ${originals} of ${of} originals`),
            },
          );
          faults = done.faults.length;
          yield done;
        },
        json: options.json === true,
        human: (done) =>
          [
            ...done.faults.map(printable),
            `${done.backup} of ${done.madeAt}: ${done.originals} originals, ${done.derived} derived pictures, ${done.rows} rows put back to ${printable(folder)}.`,
            `Head of the log, as the backup says: ${headText(done.head)}`,
            faults === 0
              ? "Everything holds: every picture was read again, every row and the whole log were checked."
              : `${faults} faults, named above; everything else holds.`,
          ].join("\n"),
        clearProgress: line.clear,
      });
      exit(status !== 0 ? status : faults > 0 ? 1 : 0);
    });
}

/** The options of a store tell of the originals' and, unless its own were given, of the backups'. */
function from(place: string, { placeEndpoint, placeRegion, ...options }: Options) {
  if (!isInStore(place) && options.originals !== undefined) return { place };
  return placeWanted(place, {
    ...options,
    ...(placeEndpoint === undefined ? {} : { endpoint: placeEndpoint }),
    ...(placeRegion === undefined ? {} : { region: placeRegion }),
  });
}

function to(options: Options): { places?: unknown } {
  const { tables, originals } = options;
  if (originals !== undefined) return { places: placesOf(options) };
  return tables === undefined ? {} : { places: placesOf({ tables }) };
}
