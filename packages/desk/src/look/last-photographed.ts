import { seenRequests } from "../access/seeing.ts";
import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";

/** The last day on which pictures of a request were made, as far as somebody may know; null: none yet. */
export async function lastPhotographed(
  { library }: Desk,
  actor: Actor,
  requestId: string,
): Promise<string | null> {
  const row = await library.read
    .selectFrom("frame")
    .innerJoin("visit", "visit.id", "frame.visit_id")
    .innerJoin("request", "request.id", "visit.request_id")
    .select((is) => is.fn.max("visit.date").as("last"))
    .where("request.id", "=", requestId)
    .where("visit.void_because", "is", null)
    .where("frame.kind", "=", "picture")
    .where("frame.trashed_at", "is", null)
    .where(seenRequests(actor, library.clock().toISOString()))
    .executeTakeFirst();
  return row?.last ?? null;
}
