import { existsSync } from "node:fs";
import {
  cardApartFrom,
  openDesk,
  type TakeIn,
  type TakeInLine,
  type TakeInProgress,
  takeIn,
} from "@samescale/desk";
import { secondPlaceOf } from "@samescale/practice";
import type { Command } from "commander";
import { withPool } from "../frame/answer-photos.ts";
import { type JsonOption, jsonOption, libraryOption, practiceOption } from "../frame/options.ts";
import { practiceInUse } from "../frame/practice-in-use.ts";
import { printable } from "../frame/printable.ts";
import { streamLines } from "../frame/stream-lines.ts";
import { thisPerson } from "../frame/this-person.ts";

/** `samescale take-in`: cards into a library (contract in docs/commands.md). */
export function configure(command: Command, exit: (code: number) => void): void {
  command.argument("<card...>", "memory cards, or folders of camera files; they are only read");
  practiceOption(libraryOption(jsonOption(command)))
    .addHelpText(
      "after",
      "\nThe library is made when there is none. Stopped or killed, the same command goes on where it was. A card may be" +
        "\nerased when every file on it was read back at two places; the second is secondPlace in the practice.",
    )
    .action(async (cards: string[], options: JsonOption & { library: string; practice?: string }) => {
      await keepApart(cards, options.library);
      const secondPlace = secondPlaceOf((await practiceInUse(options)).practice);
      const desk = await openDesk(options.library);
      try {
        const job = { desk, actor: await thisPerson(desk), cards, secondPlace };
        exit(await takeCards(job, options.json === true));
      } finally {
        await desk.close();
      }
    });
}

/** A library is not made on a card. Cards that are not there are answered later, line by line. */
async function keepApart(cards: readonly string[], library: string): Promise<void> {
  for (const card of cards) if (existsSync(card)) await cardApartFrom(card, library);
}

async function takeCards(job: Omit<TakeIn, "pictures">, json: boolean): Promise<number> {
  const progress = progressOnScreen();
  let faults = 0;
  const status = await withPool(Number.POSITIVE_INFINITY, (pool) =>
    streamLines<TakeInLine>({
      async *lines(signal) {
        const whole = { ...job, pictures: pool, signal, onProgress: progress.show };
        for await (const line of takeIn(whole)) {
          if ("error" in line) faults++;
          yield line;
        }
      },
      json,
      human,
      clearProgress: progress.clear,
    }),
  );
  return status !== 0 ? status : faults > 0 ? 1 : 0;
}

function human(line: TakeInLine): string | null {
  if ("summary" in line) return humanSummary(line.summary);
  const file = printable(line.file);
  if (!("state" in line))
    return `${file}: ${printable(line.error.message)}\n  ${line.error.help} [${line.error.code}]`;
  const twice = line.copies === 2 ? ", at the second place too" : "";
  if (line.state === "stored") return `${file}: stored${twice}, ${line.sha256}`;
  if (line.state === "already") return `${file}: was in the library already, compared${twice}`;
  return `${file}: ${line.state === "unreadable" ? "NOT READ" : "not taken in"}. ${printable(line.reason ?? "")}`;
}

function humanSummary(sum: Extract<TakeInLine, { summary: object }>["summary"]): string {
  const { stored, already, notPictures, unreadable, placed, unplaced, bytes } = sum;
  return [
    `${stored} stored, ${already} already there (${inMB(bytes)}), ${notPictures} not pictures, ${unreadable} unreadable.`,
    `${placed} frames belong to a request, ${unplaced} wait for a person to say whose they are.`,
    `The card ${sum.cardMayBeErased ? "may be erased" : "must NOT be erased"}: ${printable(sum.why)}.`,
    ...(sum.notSigned === null ? [] : [`The log is not signed. ${printable(sum.notSigned)}`]),
  ].join("\n");
}

const inMB = (bytes: number) => `${(bytes / 1e6).toFixed(1)} MB`;

/** Rate and time left, only where a person looks on. */
function progressOnScreen(): { show(progress: TakeInProgress): void; clear(): void } {
  if (!process.stderr.isTTY) return { show() {}, clear() {} };
  const REDRAW_MS = 200;
  let began = performance.now();
  let card = "";
  let drawn = 0;
  return {
    show(progress) {
      const now = performance.now();
      if (progress.card !== card) {
        card = progress.card;
        began = now;
      }
      if (now - drawn < REDRAW_MS) return;
      drawn = now;
      process.stderr.write(`\r${sayProgress(progress, (now - began) / 1000)} (Ctrl-C stops) \x1b[K`);
    },
    clear() {
      process.stderr.write("\r\x1b[K");
    },
  };
}

function sayProgress({ step, files, ofFiles, bytes, ofBytes }: TakeInProgress, seconds: number): string {
  if (step === "looking") return `looking at picture ${files}`;
  const rate = bytes / Math.max(seconds, 0.1);
  const leftS = rate > 0 ? Math.round((ofBytes - bytes) / rate) : 0;
  return `${files} of ${ofFiles} files, ${inMB(rate)}/s, about ${leftS} s left`;
}
