import { randomInt } from "node:crypto";
import { printScales } from "@samescale/desk";
import { type MarkerKind, newScaleId, parseScaleId, type ScaleId } from "@samescale/marker";
import type { Command } from "commander";
import { write } from "../frame/answer-each.ts";
import { CommandFailure } from "../frame/failure.ts";
import { oneOf, positive } from "../frame/options.ts";
import { printable } from "../frame/printable.ts";

const KINDS = {
  "straight-50": "straight-50",
  "straight-150": "straight-150",
  l: "l",
  labels: "label",
} as const satisfies Record<string, MarkerKind>;

interface Options {
  readonly out: string;
  readonly paper: "a4" | "letter";
  readonly count?: number;
  readonly id?: readonly string[];
  readonly replace?: true;
  readonly json?: true;
}

/** More than a department uses up in a year; a slip of the finger otherwise fills the disk. */
const MOST_AT_ONCE = 500;

/** `samescale print-scale KIND`: writes our own scales as a page to print. */
export function configure(command: Command): void {
  command
    .argument("<kind>", `${Object.keys(KINDS).join(", ")}`)
    .requiredOption("--out <file>", "the PDF to write")
    .option("--paper <size>", "a4 or letter", oneOf("--paper", ["a4", "letter"]), "a4")
    .option("--count <n>", "how many scales, or sheets of labels (default: 1)", positive("--count"))
    .option("--id <id...>", "print these again instead of drawing new ids")
    .option("--replace", "write over a file that is there")
    .option("--json", "one JSON object instead of words")
    .action(async (kindText: string, { out, paper, replace, json, ...options }: Options) => {
      const kind = KINDS[oneOf("print-scale", Object.keys(KINDS) as (keyof typeof KINDS)[])(kindText)];
      const ids = options.id ? idsTyped(options.id, kind, options.count) : idsDrawn(kind, options.count ?? 1);
      await printScales({ kind, paper, ids, madeAt: new Date(), out, replace: replace === true });
      await write(
        json
          ? `${JSON.stringify({ file: out, kind: kindText, paper, ids })}\n`
          : `${printable(out)}: ${ids.join(" ")}\nPrint it at actual size (100 %), measure both check lines, then run samescale calibrate-scale.\n`,
      );
    });
}

function idsDrawn(kind: MarkerKind, count: number): ScaleId[] {
  if (!Number.isInteger(count) || count > MOST_AT_ONCE) {
    throw CommandFailure.badArguments(
      `--count: expected a whole number up to ${MOST_AT_ONCE}, received "${count}"`,
      "Type for example --count 4.",
    );
  }
  const ids = new Set<ScaleId>();
  while (ids.size < count) ids.add(newScaleId(kind, () => randomInt(2 ** 32) / 2 ** 32));
  return [...ids];
}

function idsTyped(texts: readonly string[], kind: MarkerKind, count: number | undefined): ScaleId[] {
  if (count !== undefined || texts.length > MOST_AT_ONCE) {
    throw CommandFailure.badArguments(
      `--id: expected up to ${MOST_AT_ONCE} ids and no --count`,
      "Leave --count out: there is one scale for each id.",
    );
  }
  return texts.map((text) => {
    const parsed = parseScaleId(text);
    if (parsed?.kind === kind) return parsed.id;
    throw CommandFailure.badArguments(
      `--id: expected the id of a scale of this kind, received "${printable(text.slice(0, 60))}"`,
      "Type it as it is printed on the scale, or leave it out and a new one is drawn.",
    );
  });
}
