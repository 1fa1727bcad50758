import { userInfo } from "node:os";
import { headText, restore } from "@samescale/desk";
import type { Command } from "commander";
import { type SecretOptions, secretOf, secretOptions } from "../frame/backup-secret.ts";
import type { JsonOption } from "../frame/options.ts";
import { printable } from "../frame/printable.ts";
import { inMB, rateLine } from "../frame/rate-line.ts";
import { streamLines } from "../frame/stream-lines.ts";

type Done = Awaited<ReturnType<typeof restore>>;

/** `samescale restore`: a library put back from its backup, and proved (docs/keep.md). */
export function configure(command: Command, exit: (code: number) => void): void {
  secretOptions(
    command
      .argument("<place>", "folder of the backups; it is only read")
      .argument("<folder>", "where the library shall be: nothing may be there"),
  )
    .option("--backup <name>", "which one (default: the newest)")
    .option("--json", "one JSON object on one line")
    .addHelpText("after", "\nStopped or killed, the same command goes on where it was.")
    .action(
      async (place: string, folder: string, options: JsonOption & SecretOptions & { backup?: string }) => {
        const secret = await secretOf(options);
        const line = rateLine();
        let faults = 0;
        const status = await streamLines<Done>({
          async *lines(signal) {
            const done = await restore(
              { name: userInfo().username, role: "photographer" },
              {
                place,
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
      },
    );
}
