import { checkProofs } from "@samescale/desk";
import { CommandFailure } from "../../frame/failure.ts";
import { say } from "./new-folder.ts";

/** Checks a folder of proofs. Exit status 0 only when every one holds. */
export async function checkFolder(
  folder: string,
  { json, key }: { readonly json?: true; readonly key?: string },
): Promise<number> {
  if (key !== undefined && !/^[0-9a-f]{64}$/.test(key)) {
    throw CommandFailure.badArguments(
      `--key: expected the SHA-256 of a public key, received "${key}"`,
      "Type the 64 digits that samescale custody keys prints.",
    );
  }
  let faults = 0;
  for await (const checked of checkProofs(folder, key ?? null)) {
    if (!checked.holds) faults++;
    say(json, checked, `${checked.file}: ${checked.holds ? "holds" : "DOES NOT HOLD"}: ${checked.says}`);
  }
  return faults === 0 ? 0 : 1;
}
