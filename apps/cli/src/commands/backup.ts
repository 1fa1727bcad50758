import { type BackupMade, backUp, backupsAt, doneOrThrow, openDesk } from "@samescale/desk";
import type { Command } from "commander";
import { type SecretOptions, secretOf, secretOptions } from "../frame/backup-secret.ts";
import { CommandFailure } from "../frame/failure.ts";
import { type JsonOption, libraryOption } from "../frame/options.ts";
import { printable } from "../frame/printable.ts";
import { inMB, rateLine } from "../frame/rate-line.ts";
import { placeWanted, type StoreOptions, storeOptions } from "../frame/store-options.ts";
import { streamLines } from "../frame/stream-lines.ts";
import { thisPerson } from "../frame/this-person.ts";

interface Options extends JsonOption, SecretOptions, StoreOptions {
  readonly library: string;
  readonly notEncrypted?: true;
  readonly withKeys?: true;
  readonly list?: true;
}

/** `samescale backup`: the library while it is in use, encrypted, only what is new (docs/keep.md). */
export function configure(command: Command, exit: (code: number) => void): void {
  const place = "folder of the backups, best on another disk; or s3://BUCKET/PREFIX";
  storeOptions(secretOptions(libraryOption(command.argument("<place>", place))))
    .option("--not-encrypted", "pieces lie there as they are")
    .option("--with-keys", "the private keys that sign the log as well")
    .option("--list", "only say which backups there are, newest first")
    .option("--json", "one JSON object per line")
    .addHelpText(
      "after",
      "\nStopped, killed or out of space, the same command goes on where it was.\n" +
        "Key and secret of a store: $SAMESCALE_BACKUP_KEY, $SAMESCALE_BACKUP_SECRET, or secrets.json (docs/department.md).",
    )
    .action(async (place: string, options: Options) =>
      exit(options.list ? await list(place, options) : await make(place, options)),
    );
}

async function make(place: string, options: Options): Promise<number> {
  const secret = await secretOf(options);
  if ((secret === null) !== (options.notEncrypted === true)) {
    throw CommandFailure.badArguments(
      "Expected one of --passphrase-file, --key-file and --not-encrypted",
      "A backup holds health records: name what encrypts it, or say that nothing does.",
    );
  }
  const wanted = placeWanted(place, options);
  const desk = await openDesk(options.library, { mode: "open" });
  const line = rateLine();
  let faults = 0;
  try {
    const status = await streamLines<BackupMade>({
      async *lines(signal) {
        const made = doneOrThrow(
          await backUp(desk, await thisPerson(desk), {
            ...wanted,
            secret,
            signal,
            withKeys: options.withKeys === true,
            onProgress: ({ step, done, of, copied, copiedBytes }) =>
              line.show((seconds) => {
                const rate = inMB(copiedBytes / Math.max(seconds, 0.1));
                return `${step}: ${done}${of === null ? "" : ` of ${of}`}, ${copied} new, ${rate}/s`;
              }),
          }),
        );
        faults = made.faults.length;
        yield made;
      },
      json: options.json === true,
      human: (made) =>
        [
          ...made.faults.map((fault) => `NOT COPIED: ${printable(fault)}`),
          `${made.name}: ${made.originals} originals, ${made.derived} derived pictures, ${made.rows} rows.`,
          `New there: ${made.copied} files, ${inMB(made.copiedBytes)}. Log up to entry ${made.head.sequence}.`,
          faults === 0
            ? "The backup is whole."
            : `The backup lacks ${faults} files; everything else is there.`,
        ].join("\n"),
      clearProgress: line.clear,
    });
    return status !== 0 ? status : faults > 0 ? 1 : 0;
  } finally {
    await desk.close();
  }
}

async function list(place: string, options: Options): Promise<number> {
  const backups = await backupsAt(placeWanted(place, options), await secretOf(options), options.library);
  for (const { name, manifest } of backups) {
    const { madeAt, originals, derived, head, faults } = manifest;
    const said = {
      name,
      madeAt,
      originals: originals.count,
      derived: derived.count,
      head,
      faults: faults.length,
    };
    process.stdout.write(
      options.json
        ? `${JSON.stringify(said)}\n`
        : `${name}  ${originals.count} originals, log up to entry ${head.sequence}${faults.length > 0 ? `, ${faults.length} could not be copied` : ""}\n`,
    );
  }
  if (backups.length === 0) process.stderr.write("There is no finished backup there.\n");
  return 0;
}
