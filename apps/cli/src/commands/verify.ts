import { createWriteStream } from "node:fs";
import { readFile } from "node:fs/promises";
import { Readable } from "node:stream";
import { pipeline } from "node:stream/promises";
import {
  type Desk,
  type Fault,
  type Head,
  headOfText,
  headText,
  logLines,
  openDesk,
  signedHeadOfFile,
  type VerifyCounts,
  verify,
} from "@samescale/desk";
import type { Command } from "commander";
import { CommandFailure } from "../frame/failure.ts";
import { type JsonOption, libraryOption } from "../frame/options.ts";
import { printable } from "../frame/printable.ts";
import { streamLines } from "../frame/stream-lines.ts";

interface Options extends JsonOption {
  readonly library: string;
  readonly head?: Head;
  readonly signedHead?: string;
  readonly log?: string;
}

type Line =
  | Fault
  | { readonly summary: Omit<VerifyCounts, "head"> & { readonly head: string; readonly holds: boolean } };

/** `samescale verify`: proves that nothing in a library was lost or changed (docs/record.md). */
export function configure(command: Command, exit: (code: number) => void): void {
  libraryOption(command.option("--json", "one JSON object per fault and line, then a summary"))
    .option("--head <number:hash>", "a head of the custody log that was kept elsewhere", parseHead)
    .option(
      "--signed-head <file>",
      "a signed head that was kept elsewhere, as samescale custody head writes it",
    )
    .option("--log <file>", "also write the custody log as text that sha256sum can check; must be a new file")
    .action(async (options: Options) => {
      const desk = await openDesk(options.library, { mode: "read" });
      try {
        const status = await check(desk, options);
        if (options.log !== undefined && status < 2) await writeLog(desk, options.log);
        exit(status);
      } finally {
        await desk.close();
      }
    });
}

async function check(desk: Desk, { json, head, signedHead }: Options): Promise<number> {
  const keptSigned = signedHead === undefined ? null : await readSignedHead(signedHead);
  const progress = progressOnScreen();
  let holds = false;
  const status = await streamLines<Line>({
    async *lines(signal) {
      const counts = yield* verify(desk, {
        signal,
        onProgress: progress.show,
        ...(head ? { kept: head } : {}),
        ...(keptSigned ? { keptSigned } : {}),
      });
      holds = counts.faults === 0;
      yield { summary: { ...counts, head: headText(counts.head), holds } };
    },
    json: json === true,
    human,
    clearProgress: progress.clear,
  });
  return status !== 0 ? status : holds ? 0 : 1;
}

function human(line: Line): string {
  if (!("summary" in line)) return `${line.where} ${printable(line.subject)}: ${printable(line.fault)}`;
  const { originals, bytes, entries, rows, derivatives, derived, copies, faults, head, notes } = line.summary;
  const { signedHeads, timeStamps } = line.summary;
  const checked =
    `${originals} originals (${(bytes / 1e6).toFixed(1)} MB), ${copies} second copies, ${derived} derived pictures, ` +
    `${entries} log entries, ${signedHeads} signed heads, ${timeStamps} time stamps, ${rows} rows, ` +
    `${derivatives} derivatives`;
  const result = faults === 0 ? `Everything holds: ${checked}.` : `${faults} faults; checked: ${checked}.`;
  const noted = notes.map((note) => `Note: ${printable(note)}.\n`).join("");
  return `${noted}${result}\nHead of the log, to be kept elsewhere:\n${head}`;
}

/** Names, addresses and notes of patients may be in it: nobody else may read it. */
async function writeLog(desk: Desk, file: string): Promise<void> {
  try {
    await pipeline(Readable.from(logLines(desk)), createWriteStream(file, { flags: "wx", mode: 0o600 }));
  } catch (thrown) {
    if ((thrown as NodeJS.ErrnoException).code !== "EEXIST") throw CommandFailure.from(thrown, file);
    throw CommandFailure.badArguments(
      `--log: ${file} exists already`,
      "Name a new file; none is written over.",
    );
  }
}

async function readSignedHead(file: string) {
  const text = await readFile(file, "utf8").catch((thrown) => {
    throw CommandFailure.from(thrown, file);
  });
  const read = signedHeadOfFile(text);
  if (read !== null) return read;
  throw CommandFailure.badArguments(
    `--signed-head: ${printable(file)} is not a signed head`,
    "Name the file that samescale custody head wrote, whole and unchanged.",
  );
}

function parseHead(text: string): Head {
  const head = headOfText(text);
  if (head !== null) return head;
  throw CommandFailure.badArguments(
    `--head: expected NUMBER:HASH, received "${text}"`,
    "Type it as `samescale verify` printed it, such as 17:ab12… with 64 digits.",
  );
}

function progressOnScreen(): { show(done: { originals: number; of: number }): void; clear(): void } {
  if (!process.stderr.isTTY) return { show() {}, clear() {} };
  return {
    show: ({ originals, of }) =>
      process.stderr.write(`\r${originals} of ${of} originals (Ctrl-C stops) \x1b[K`),
    clear: () => process.stderr.write("\r\x1b[K"),
  };
}
