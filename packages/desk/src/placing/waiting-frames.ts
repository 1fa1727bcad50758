import { type Actor, PHOTOGRAPHERS } from "../act/actor.ts";
import type { Desk } from "../desk.ts";

/** A frame that waits for a person to say whose it is. */
export interface WaitingFrame {
  readonly frameId: string;
  /** The file that is looked at, for its thumbnail; null: no picture. */
  readonly sha256: string | null;
  readonly card: string;
  readonly folder: string;
  readonly name: string;
  readonly takenAt: string | null;
  readonly codes: readonly string[];
  /** Why no rule placed it. */
  readonly why: string;
  readonly flags: readonly string[];
}

/** The unplaced frames, card by card in the order of the card; for those who may place them, nothing for others. */
export async function waitingFrames({ library }: Desk, actor: Actor): Promise<readonly WaitingFrame[]> {
  if (!PHOTOGRAPHERS.includes(actor.role)) return [];
  const rows = await library.read
    .selectFrom("frame")
    .innerJoin("intake", "intake.id", "frame.intake_id")
    .select(["frame.id", "frame.folder", "frame.name", "frame.taken_at", "frame.codes", "frame.placing"])
    .select(["frame.flags", "intake.card_path"])
    .select((of) =>
      of
        .selectFrom("file")
        .select("file.sha256")
        .whereRef("file.frame_id", "=", "frame.id")
        .where("file.kind", "is", null)
        .orderBy("file.format")
        .orderBy("file.sha256")
        .limit(1)
        .as("sha256"),
    )
    .where("frame.request_id", "is", null)
    .where("frame.trashed_at", "is", null)
    .orderBy("intake.begun_at")
    .orderBy("intake.id")
    .orderBy("frame.position")
    .execute();
  return rows.map((row) => ({
    frameId: row.id,
    sha256: row.sha256,
    card: row.card_path,
    folder: row.folder,
    name: row.name,
    takenAt: row.taken_at,
    codes: row.codes === null ? [] : (JSON.parse(row.codes) as string[]),
    why: row.placing,
    flags: JSON.parse(row.flags) as string[],
  }));
}
