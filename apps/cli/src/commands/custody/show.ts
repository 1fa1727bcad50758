import { type Desk, type HistoryLine, history } from "@samescale/desk";
import { CommandFailure } from "../../frame/failure.ts";
import { thisPerson } from "../../frame/this-person.ts";
import { say } from "./new-folder.ts";

/** Every act on something and on what it consists of, in order, one line each. */
export async function show(desk: Desk, subject: string, { json }: { readonly json?: true }): Promise<void> {
  const lines = await history(desk, await thisPerson(desk), subject);
  if (lines === null) {
    throw CommandFailure.badArguments(
      `The custody log has nothing about "${subject}"`,
      "Check the id; it may belong to another library.",
    );
  }
  for (const line of lines) say(json, line, human(line));
}

function human({ entry, time, actor, says, subject, because }: HistoryLine): string {
  const why = because === null ? "" : ` Reason: ${because}.`;
  return `${String(entry).padStart(6)}  ${time}  ${actor}: ${says} (${subject}).${why}`;
}
