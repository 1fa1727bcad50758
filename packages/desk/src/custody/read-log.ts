import { SamescaleError } from "@samescale/errors";
import { type Entry, entriesOf, type Library } from "@samescale/record";
import type { Actor, Role } from "../act/actor.ts";

/** Lines of the log name patients and tell reasons: only who works with all of that, or audits it, reads them. */
const READ_THE_LOG: readonly Role[] = ["photographer", "lead", "auditor"];

/** @throws SamescaleError ACT_REFUSED */
export function mustReadLog(actor: Actor): void {
  if (READ_THE_LOG.includes(actor.role)) return;
  throw new SamescaleError(
    "ACT_REFUSED",
    `Reading the custody log: not for the role ${actor.role}`,
    "Ask a photographer, the lead or an auditor.",
  );
}

const SUBJECT = /^[a-z_]{1,40}\/[0-9A-Za-z-]{1,80}$/;

/** `frame/01J…`, as rows are named in the log. @throws SamescaleError BAD_SUBJECT */
export function subjectOf(text: string): string {
  if (SUBJECT.test(text)) return text;
  throw new SamescaleError(
    "BAD_SUBJECT",
    `Expected what an entry is about, as kind/id, received ${JSON.stringify(text.slice(0, 80))}`,
    "Type for example frame/01J… or file/SHA-256, as `samescale custody show` prints it.",
  );
}

/** Every entry that is about one of these, or wrote its row, in the order of the log. */
export async function entriesOn(read: Library["read"], subjects: readonly string[]): Promise<Entry[]> {
  const found = new Map<number, Entry>();
  for (const subject of subjects) {
    const rows = await read
      .selectFrom("act")
      .select("sequence")
      .where((is) => is.or([is("subject", "=", subject), is("details", "like", `%"${subject}":%`)]))
      .execute();
    for (const { sequence } of rows) {
      if (found.has(sequence)) continue;
      const entry = await entryAt(read, sequence);
      // `_` in the name of a table stands for any letter in a pattern: looked at once more.
      const rowsWritten = entry?.details.rows ?? {};
      if (entry && (entry.subject === subject || Object.hasOwn(rowsWritten as object, subject))) {
        found.set(sequence, entry);
      }
    }
  }
  return [...found.values()].sort((a, b) => a.sequence - b.sequence);
}

/** One entry; null when there is none, or its row is none any more. */
export async function entryAt(read: Library["read"], sequence: number): Promise<Entry | null> {
  for await (const entry of entriesOf(read, sequence - 1)) {
    const found = entry as Entry;
    return found.sequence === sequence && typeof found.details === "object" ? found : null;
  }
  return null;
}
