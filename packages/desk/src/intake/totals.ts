import type { SignedOrWhy } from "../custody/signed-or-why.ts";
import type { Desk } from "../desk.ts";
import type { MayBeErased } from "./may-be-erased.ts";
import type { SummaryLine, TakenFile } from "./take-in-lines.ts";

/** What one call of take-in comes to, over all its cards. */
export interface Totals {
  readonly files: TakenFile[];
  readonly erase: (MayBeErased & { readonly card: string })[];
  placed: number;
  unplaced: number;
}

export const newTotals = (): Totals => ({ files: [], erase: [], placed: 0, unplaced: 0 });

/** Counts the frames of these originals, whichever intake made them. */
export async function countPlaced(desk: Desk, originals: readonly string[], totals: Totals): Promise<void> {
  const frames = new Map<string, boolean>();
  for (const sha256 of originals) {
    const frame = await desk.library.read
      .selectFrom("file")
      .innerJoin("frame", "frame.id", "file.frame_id")
      .select(["frame.id", "frame.request_id"])
      .where("file.sha256", "=", sha256)
      .executeTakeFirst();
    if (frame) frames.set(frame.id, frame.request_id !== null);
  }
  const placed = [...frames.values()].filter((isPlaced) => isPlaced).length;
  totals.placed += placed;
  totals.unplaced += frames.size - placed;
}

/** @param signed what came of signing the log's head; null: nothing was taken in, nothing was to be signed */
export function summaryOf(
  { files, erase, placed, unplaced }: Totals,
  signed: SignedOrWhy | null,
): SummaryLine {
  const count = (state: TakenFile["state"]) => files.filter((file) => file.state === state).length;
  const kept = files.filter((file) => file.state === "stored" || file.state === "already");
  const named = (each: (typeof erase)[number]) => (erase.length > 1 ? `${each.card}: ${each.why}` : each.why);
  const against = erase.filter((each) => !each.may);
  return {
    summary: {
      files: files.length,
      stored: count("stored"),
      already: count("already"),
      notPictures: count("not-a-picture"),
      unreadable: count("unreadable"),
      bytes: kept.reduce((sum, file) => sum + file.bytes, 0),
      placed,
      unplaced,
      cardMayBeErased: erase.length > 0 && against.length === 0,
      why: (against.length > 0 ? against : erase).map(named).join(" | "),
      signedEntries: signed && "signed" in signed ? signed.signed.size : null,
      notSigned: signed && "notSigned" in signed ? signed.notSigned : null,
    },
  };
}
