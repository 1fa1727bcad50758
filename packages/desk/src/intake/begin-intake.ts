import { PHOTOGRAPHERS } from "../act/actor.ts";
import { defineAct } from "../act/define-act.ts";
import { type CardFile, type Listing, unfinishedIntake, writeCardFile } from "./intake-rows.ts";

export interface IntakeToBegin {
  readonly cardPath: string;
  readonly listing: Listing;
  /** What this run has seen on the card before it came to something new. */
  readonly seen: readonly CardFile[];
}

/** Begins an intake, or goes on with the unfinished one of the same card. */
export const beginIntake = defineAct<IntakeToBegin, { readonly id: string }>({
  name: "intake.begin",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run({ cardPath, listing, seen }, context) {
    const { writing, tables, now, newId } = context;
    const { same, others } = await unfinishedIntake(tables, cardPath, listing);
    if (same) return { value: { id: same.id }, deed: null };
    for (const other of others) {
      await writing.update("intake", other, {
        abandoned_because: "Another card was put in before it was finished",
      });
    }
    const id = newId();
    await writing.insert("intake", {
      id,
      card_path: cardPath,
      begun_at: now,
      finished_at: null,
      abandoned_because: null,
      clock_offset_s: null,
      clock_because: null,
      clock_by: null,
    });
    for (const file of seen) await writeCardFile(context, id, file);
    const details = { card: cardPath, files: listing.size, abandoned: others };
    return { value: { id }, deed: { act: "intake.begin", subject: `intake/${id}`, details } };
  },
});
