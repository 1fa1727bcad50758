import { type Command, Option } from "commander";
import { CommandFailure } from "./failure.ts";

/** `PHOTO…`: one or more; a name that begins with a dash goes after `--`. */
export function photoArguments(command: Command): Command {
  return command.argument("<photo...>", "photographs (after -- where a name begins with a dash)");
}

/** What `--json` sets; every picture command has it. */
export interface JsonOption {
  readonly json?: true;
}

export function jsonOption(command: Command): Command {
  return command.option("--json", "one JSON object per line and photograph, in the order given");
}

/** Parser for an option that takes a number above zero, such as `--focal-mm 100`. */
export const positive =
  (flag: string) =>
  (text: string): number => {
    const value = Number(text);
    if (text.trim() !== "" && Number.isFinite(value) && value > 0) return value;
    throw CommandFailure.badArguments(
      `${flag}: expected a number above 0, received "${text}"`,
      `Type for example ${flag} 36.`,
    );
  };

/** Parser for an option that takes numbers set apart by commas, such as `--near 812,440.5`. */
export const numbers =
  <const Names extends readonly string[]>(flag: string, names: Names) =>
  (text: string): { [K in keyof Names]: number } => {
    const values = text.split(",").map((part) => (part.trim() === "" ? Number.NaN : Number(part)));
    if (values.length === names.length && values.every(Number.isFinite)) {
      return values as { [K in keyof Names]: number };
    }
    throw CommandFailure.badArguments(
      `${flag}: expected ${names.join(",")}, received "${text}"`,
      `Type ${names.length} numbers with commas and no spaces, for example ${flag} ${names.map((_, i) => 100 * (i + 1)).join(",")}.`,
    );
  };

/** Parser for an option that takes a number within limits, such as `--scale-height-mm=-5`. */
export const between =
  (flag: string, least: number, most: number) =>
  (text: string): number => {
    const value = text.trim() === "" ? Number.NaN : Number(text);
    if (value >= least && value <= most) return value;
    throw CommandFailure.badArguments(
      `${flag}: expected a number from ${least} to ${most}, received "${text}"`,
      `Type for example ${flag} 5.`,
    );
  };

/** Parser for an option that takes a day, such as `--on 2026-11-25`. */
export const day =
  (flag: string) =>
  (text: string): string => {
    const time = /^\d{4}-\d\d-\d\d$/.test(text) ? Date.parse(`${text}T00:00:00Z`) : Number.NaN;
    if (Number.isFinite(time) && new Date(time).toISOString().startsWith(text)) return text;
    throw CommandFailure.badArguments(
      `${flag}: expected a day as year-month-day, received "${text}"`,
      `Type for example ${flag} 2026-11-25.`,
    );
  };

/** Parser for an option with a few words to choose from. */
export const oneOf =
  <const Words extends readonly string[]>(flag: string, words: Words) =>
  (text: string): Words[number] => {
    if (words.includes(text)) return text as Words[number];
    throw CommandFailure.badArguments(
      `${flag}: expected one of ${words.join(", ")}, received "${text}"`,
      `Type for example ${flag} ${words[0]?.includes(" ") ? `"${words[0]}"` : words[0]}.`,
    );
  };

/** A day that is today unless one is named; help says so in that word, as its text is the same every day. */
export const dayOption = (name: "--day" | "--on", says: string): Option =>
  new Option(`${name} <day>`, says)
    .argParser(day(name))
    .default(new Date().toISOString().slice(0, 10), "today");

/** `--library D`: which library; default `$SAMESCALE_LIBRARY`, else `./library`. */
export function libraryOption(command: Command): Command {
  return command.option(
    "--library <folder>",
    "the library (default: $SAMESCALE_LIBRARY, else ./library)",
    process.env.SAMESCALE_LIBRARY || "library",
  );
}

/** `--practice FOLDER`: whose rules; default: the library's own, else the starting practice. */
export function practiceOption(command: Command): Command {
  return command.option(
    "--practice <folder>",
    "the department's practice (without: the library's own, else the starting one)",
  );
}

/** `--port N`: 0 takes any free one. */
export function portOption(command: Command): Command {
  return command.option(
    "--port <n>",
    "port to serve on; 0 takes any free one",
    (text: string): number => {
      const port = Number(text);
      if (/^\d+$/.test(text) && port <= 65535) return port;
      throw CommandFailure.badArguments(
        `--port: expected 0 to 65535, received "${text}"`,
        "Type for example --port 8080, or --port 0.",
      );
    },
    8470,
  );
}
