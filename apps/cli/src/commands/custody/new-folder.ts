import { mkdir, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { CommandFailure } from "../../frame/failure.ts";
import { printable } from "../../frame/printable.ts";

/** Writes files to a new folder; nothing is written over. Lines of the log name patients: nobody else may look in. */
export async function writeNewFolder(
  folder: string,
  files: readonly { readonly name: string; readonly content: string | Uint8Array }[],
): Promise<void> {
  try {
    await mkdir(folder, { mode: 0o700 });
    for (const { name, content } of files) {
      await writeFile(join(folder, name), content, { flag: "wx", mode: 0o600 });
    }
  } catch (thrown) {
    if ((thrown as NodeJS.ErrnoException).code !== "EEXIST") throw CommandFailure.from(thrown, folder);
    throw CommandFailure.badArguments(
      `--to: ${printable(folder)} exists already`,
      "Name a new folder; nothing is written over.",
    );
  }
}

/** A whole number that was typed, such as the number of an entry. */
export function wholeNumber(option: string, text: string): number {
  const value = Number(text);
  if (/^\d{1,15}$/.test(text)) return value;
  throw CommandFailure.badArguments(
    `${option}: expected a whole number, received "${text}"`,
    `Type for example ${option} 17.`,
  );
}

/** Prints to standard output: one JSON object, or lines for a person. */
export function say(json: true | undefined, object: object, human: string): void {
  process.stdout.write(`${json ? JSON.stringify(object) : printableLines(human)}\n`);
}

const printableLines = (text: string): string => text.split("\n").map(printable).join("\n");
