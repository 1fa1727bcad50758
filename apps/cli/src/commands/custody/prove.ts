import { type Desk, proofFiles } from "@samescale/desk";
import { CommandFailure } from "../../frame/failure.ts";
import { thisPerson } from "../../frame/this-person.ts";
import { say, wholeNumber, writeNewFolder } from "./new-folder.ts";

/** Proofs of entries, of all entries about something, and that the log grew from an earlier one. */
export async function prove(
  desk: Desk,
  wanted: readonly string[],
  { to, since, json }: { readonly to: string; readonly since?: string; readonly json?: true },
): Promise<void> {
  if (wanted.length === 0 && since === undefined) {
    throw CommandFailure.badArguments(
      "Expected what is to be proved",
      "Name entries by number, something that they are about (frame/ID), or --since N.",
    );
  }
  const isNumber = (text: string) => /^\d{1,15}$/.test(text);
  const files = await proofFiles(desk, await thisPerson(desk), {
    entries: wanted.filter(isNumber).map(Number),
    subjects: wanted.filter((text) => !isNumber(text)),
    since: since === undefined ? null : wholeNumber("--since", since),
  });
  await writeNewFolder(
    to,
    files.map(({ name, text }) => ({ name, content: text })),
  );
  const entries = files.filter(({ name }) => name.endsWith(".line")).length;
  const human =
    `${entries} ${entries === 1 ? "entry" : "entries"} proved in ${to}.\n` +
    "Check it with samescale custody check, or without this program as HOW-TO-CHECK.txt there says.";
  say(json, { to, entries, files: files.map(({ name }) => name) }, human);
}
