import { entriesOf, exportedLine } from "@samescale/record";
import type { Desk } from "../desk.ts";

/** The custody log as lines of text that `sha256sum` alone checks (docs/record.md). */
export async function* logLines(desk: Desk): AsyncGenerator<string> {
  for await (const entry of entriesOf(desk.library.read)) yield exportedLine(entry);
}
