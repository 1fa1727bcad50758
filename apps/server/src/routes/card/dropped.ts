import type { Arrived, Drop } from "./drops.ts";
import type { CardFileResult, CardResult } from "./take-in-job.ts";

/**
 * The result of a dropped card, compared with what the browser read from the card itself. The card may be emptied only if every
 * file that was declared came, and the hash that the browser computed of each is the hash of what was kept.
 */
export function comparedWithCard(
  drop: Drop,
  here: ReadonlyMap<string, Arrived>,
  result: CardResult,
): CardResult {
  const { summary } = result;
  if (summary === null) return result;
  const why = whyNot(drop, here, result.files);
  if (why === null) return result;
  const may = summary.cardMayBeErased ? why : `${why}. ${summary.why}`;
  return { ...result, summary: { ...summary, cardMayBeErased: false, why: may } };
}

function whyNot(
  drop: Drop,
  here: ReadonlyMap<string, Arrived>,
  files: readonly CardFileResult[],
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
