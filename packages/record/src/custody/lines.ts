import { sha256Of } from "./canonical.ts";
import { type Entry, lineOf } from "./chain.ts";

const LINE = /^([0-9a-f]{64}) (\{[^\n]*\})$/;

/**
 * One line of an exported log as an entry. Its hash is computed from the bytes of the line; null when the line is
 * not what `lineOf` writes, to the byte.
 */
export function entryOfLine(line: string): Entry | null {
  const parts = LINE.exec(line);
  if (!parts) return null;
  try {
    const said = JSON.parse(parts[2] as string) as Omit<Entry, "previous" | "hash">;
    const entry = { ...said, previous: parts[1] as string, hash: sha256Of(`${line}\n`) };
    return lineOf(entry) === `${line}\n` ? entry : null;
  } catch {
    return null;
  }
}

/** Every line of an exported log, in order; what is no entry comes as null. The text must end with a line feed. */
export function entriesOfText(text: string): (Entry | null)[] {
  if (text === "") return [];
  const lines = text.split("\n");
  // A log cut in the middle of a line has no last line feed: the rest is garbage, not an entry.
  const rest = lines.pop();
  const entries = lines.map(entryOfLine);
  return rest === "" ? entries : [...entries, null];
}
