import { seenFrames, seenRequests } from "../access/seeing.ts";
import { type Actor, PHOTOGRAPHERS } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import { type ListedRequest, requestsByCode } from "../requests/list-requests.ts";

/** A request of which something could leave. */
export interface RequestWithPictures extends ListedRequest {
  readonly pictures: number;
  /** Local time of its newest picture; null: none of them has a time. */
  readonly newestAt: string | null;
}

/** More are found by their code. */
const MOST = 100;

/** The requests that have pictures which could leave, those with the newest pictures first, at most 100. */
export async function requestsWithPictures(
  desk: Desk,
  actor: Actor,
): Promise<readonly RequestWithPictures[]> {
  if (!PHOTOGRAPHERS.includes(actor.role)) return [];
  const { library } = desk;
  const now = library.clock().toISOString();
  const rows = await library.read
    .selectFrom("frame")
    .innerJoin("request", "request.id", "frame.request_id")
    .select((is) => [
      "request.code",
      is.fn.countAll<number>().as("pictures"),
      is.fn.max("frame.taken_at").as("newest"),
    ])
    .where("frame.kind", "=", "picture")
    .where("frame.placed_by", "is not", null)
    .where("frame.trashed_at", "is", null)
    .where("request.state", "<>", "cancelled")
    .where(seenRequests(actor, now))
    .where(seenFrames(actor, now))
    .groupBy("request.code")
    .orderBy("newest", (order) => order.desc().nullsLast())
    .limit(MOST)
    .execute();
  const listed = await requestsByCode(
    desk,
    actor,
    rows.map(({ code }) => code),
  );
  return rows.flatMap(({ code, pictures, newest }) => {
    const request = listed.get(code);
    return request ? [{ ...request, pictures: Number(pictures), newestAt: newest }] : [];
  });
}
