import { type Entry, entriesOf, lineOf } from "@samescale/record";
import type { Desk } from "../desk.ts";

/**
 * The custody log as lines of text that `sha256sum` alone checks (docs/record.md). A row that is no entry comes as
 * it lies there, and the check will stop at it.
 */
export async function* logLines(desk: Desk): AsyncGenerator<string> {
  for await (const entry of entriesOf(desk.library.read)) {
    try {
      yield lineOf(entry as Entry);
    } catch {
      yield `${JSON.stringify(entry)}\n`;
    }
  }
}
