import { seenFrames } from "../access/seeing.ts";
import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import { filesOf } from "./basis.ts";
import { type ConfirmedMask, maskInForce } from "./masks/mask-in-force.ts";

/** A picture of a request, and what was confirmed of it. */
export interface PictureOfRequest {
  readonly frameId: string;
  readonly name: string;
  readonly takenAt: string | null;
  /** The camera file that is shown of it; null: its camera files are not here any more. */
  readonly original: string | null;
  /** Day of its visit. */
  readonly visit: string | null;
  readonly mask: Pick<ConfirmedMask, "confirmedBy" | "confirmedAt" | "areas"> | null;
}

/** The pictures of a request that could leave, in the order of time: placed, not put aside, no labels. */
export async function picturesOfRequest(
  { library }: Desk,
  actor: Actor,
  requestId: string,
): Promise<readonly PictureOfRequest[]> {
  const rows = await library.read
    .selectFrom("frame")
    .leftJoin("visit", "visit.id", "frame.visit_id")
    .select(["frame.id", "frame.name", "frame.taken_at", "visit.date"])
    .where("frame.request_id", "=", requestId)
    .where("frame.kind", "=", "picture")
    .where("frame.placed_by", "is not", null)
    .where("frame.trashed_at", "is", null)
    .where(seenFrames(actor, library.clock().toISOString()))
    .orderBy("frame.taken_at", (order) => order.asc().nullsFirst())
    .orderBy("frame.position")
    .execute();
  const pictures: PictureOfRequest[] = [];
  for (const { id: frameId, name, taken_at: takenAt, date: visit } of rows) {
    const shown = (await filesOf(library.read, frameId)).find(({ isPicture }) => isPicture);
    const inForce = shown ? await maskInForce(library.read, frameId, shown.sha256) : null;
    const original = shown?.sha256 ?? null;
    pictures.push({ frameId, name, takenAt, original, visit, mask: inForce?.mask ?? null });
  }
  return pictures;
}
