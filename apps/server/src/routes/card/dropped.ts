import type { TakenFile } from "@samescale/desk";
import type { Arrived, Drop } from "./drops.ts";
import type { CardResult } from "./take-in-job.ts";

/**
 * Why a dropped card must not be emptied although all that came is kept; null: nothing speaks against it. Every file that was
 * declared has to be here, and the hash that the browser computed of each has to be the hash of what was kept.
 */
export function whyNotEmptied(
  drop: Drop,
  here: ReadonlyMap<string, Arrived>,
  files: readonly Pick<TakenFile, "path" | "sha256">[],
): string | null {
  const byPath = new Map([...here.values()].map((file) => [file.path, file]));
  const kept = files.filter(({ sha256 }) => sha256 !== null);
  const changed = kept.filter(({ path, sha256 }) => {
    const read = byPath.get(path)?.sha256;
    return read != null && read !== sha256;
  });
  if (changed.length > 0) return `Kept, but not as the browser read it: ${changed[0]?.path}`;
  const missing = drop.files - here.size;
  if (missing > 0) return `${missing} of ${drop.files} files that were dropped did not come`;
  const unread = kept.filter(({ path }) => byPath.get(path)?.sha256 == null).length;
  if (unread > 0) {
    return `${unread} of ${kept.length} files are too large for a browser to compare; take the card in as a folder at the server`;
  }
  if (drop.folder === null)
    return "Single files were dropped, not the card: what else lies on it nobody looked at";
  return null;
}

/** Nothing of it is wanted any more: every file was kept as often as the practice says, or is no picture. */
export const isSettled = (result: CardResult, wantsCopies: boolean): boolean =>
  result.summary !== null &&
  result.faults.length === 0 &&
  result.files.every(
    ({ state, copies }) =>
      state === "not-a-picture" || (state !== "unreadable" && (!wantsCopies || copies === 2)),
  );
