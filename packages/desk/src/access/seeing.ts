import type { Condition, Library } from "@samescale/record";
import type { Actor, Role } from "../act/actor.ts";

/** Whatever can be read from: the library as it is, or what an act sees in its transaction. */
export type Tables = Pick<Library["read"], "selectFrom">;

/** Who handles every picture of the department, and who answers for the lists. */
const KNOWS_ALL: readonly Role[] = ["photographer", "lead", "auditor"];

/** An auditor reads the log and the lists, an administrator looks after people: neither needs a picture for that. */
export const LOOKS_AT_PICTURES: readonly Role[] = ["photographer", "lead", "requester", "viewer"];

export const looksAtPictures = (actor: Actor): boolean => LOOKS_AT_PICTURES.includes(actor.role);

/**
 * The requests that somebody knows of, as a condition over `request`, to be put into every list, count and search: not
 * even a number tells of the others. Photographers and the lead know of all, so does an auditor; a viewer knows of those
 * that nothing narrows, a requester of their own, an administrator of none. Whoever was named for a request, or opened
 * it in an emergency that still lasts, knows of that one as well, except an administrator.
 * @param now ISO 8601 in UTC
 */
export function seenRequests(actor: Actor, now: string): Condition<"request"> {
  return (is) => {
    if (KNOWS_ALL.includes(actor.role)) return is.lit(true);
    const letIn = isLetIn(actor, now)(is);
    if (actor.role === "viewer") return is.or([is("request.sensitive", "is", null), letIn]);
    if (actor.role === "requester") return letIn;
    return is.lit(false);
  };
}

/** Who asked, who was named for it, or who opened it in an emergency; by account, as names can be alike. */
function isLetIn(actor: Actor, now: string): Condition<"request"> {
  return (is) => {
    const me = plainId(actor.personId);
    if (me === null) return is.lit(false);
    return is.or([
      is("request.requester_id", "=", me),
      is("request.access", "like", `%"${me}"%`),
      is.exists(
        is
          .selectFrom("access_grant")
          .select("access_grant.id")
          .whereRef("access_grant.request_id", "=", "request.id")
          .where("access_grant.actor", "=", me)
          .where("access_grant.made_at", "<=", now)
          .where("access_grant.until", ">", now),
      ),
    ]);
  };
}

/**
 * The frames whose pictures somebody may look at, as a condition over `frame`: those of requests that they know of. A
 * frame that is sensitive by itself is hidden from those for whom its request would be, were it sensitive. What waits to
 * be placed is for those who place it.
 * @param now ISO 8601 in UTC
 */
export function seenFrames(actor: Actor, now: string): Condition<"frame"> {
  return (is) => {
    if (!looksAtPictures(actor)) return is.lit(false);
    if (KNOWS_ALL.includes(actor.role)) return is.lit(true);
    const ofRequest = is
      .selectFrom("request")
      .select("request.id")
      .whereRef("request.id", "=", "frame.request_id");
    return is.or([
      is.and([
        is("frame.sensitive", "is", null),
        is.exists(ofRequest.where((of) => seenRequests(actor, now)(of))),
      ]),
      is.exists(ofRequest.where((of) => isLetIn(actor, now)(of))),
    ]);
  };
}

/** Whether this request exists for them. No is the same answer as for an identifier that is nobody's. */
export async function maySeeRequest(
  tables: Tables,
  actor: Actor,
  requestId: string,
  now: string,
): Promise<boolean> {
  const row = await tables
    .selectFrom("request")
    .select("request.id")
    .where("request.id", "=", requestId)
    .where((is) => seenRequests(actor, now)(is))
    .executeTakeFirst();
  return row !== undefined;
}

/** Whether they may look at the picture of this frame. No is the same answer as for a frame that is not there. */
export async function maySeeFrame(
  tables: Tables,
  actor: Actor,
  frameId: string,
  now: string,
): Promise<boolean> {
  const row = await tables
    .selectFrom("frame")
    .select("frame.id")
    .where("frame.id", "=", frameId)
    .where((is) => seenFrames(actor, now)(is))
    .executeTakeFirst();
  return row !== undefined;
}

/** An id that can stand in a pattern; anything else is nobody. */
const plainId = (id: string | null | undefined): string | null =>
  id != null && /^[0-9A-Za-z-]+$/.test(id) ? id : null;
