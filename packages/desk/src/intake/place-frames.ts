import { PHOTOGRAPHERS } from "../act/actor.ts";
import { isPlainText } from "../act/checks.ts";
import { type ActContext, defineAct } from "../act/define-act.ts";
import { jsonText } from "../act/json.ts";
import { visitFor } from "../visits/visit-for.ts";
import { type ClockState, dayOf } from "./camera-clock.ts";

export interface FramesToPlace {
  readonly frameIds: readonly string[];
  /** Null: back to the unplaced. */
  readonly requestId: string | null;
  /** The visit when it is known; else that of the frame's day, opened when there is none. */
  readonly visitId?: string;
  /** Why, in the person's own words. */
  readonly because: string;
}

/** A person says whose frames these are. The log keeps where they were before. */
export const placeFrames = defineAct<FramesToPlace, { readonly moved: number }>({
  name: "frame.place",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run({ frameIds, requestId, visitId, because }, context) {
    const { writing, tables } = context;
    if (!isPlainText(because)) return { refused: "Placing frames by hand needs a reason" };
    if (frameIds.length === 0) return { refused: "No frames were named" };
    const fault = await faultOfPlace(context, requestId, visitId);
    if (fault !== null) return { refused: fault };
    const before: Record<string, { request: string | null; visit: string | null }> = {};
    for (const id of new Set(frameIds)) {
      const frame = await tables.selectFrom("frame").selectAll().where("id", "=", id).executeTakeFirst();
      if (!frame) return { refused: `There is no frame ${id}` };
      before[id] = { request: frame.request_id, visit: frame.visit_id };
    }
    for (const id of Object.keys(before)) {
      const frame = await tables
        .selectFrom("frame")
        .selectAll()
        .where("id", "=", id)
        .executeTakeFirstOrThrow();
      const day = dayOf(frame.taken_at, frame.clock as ClockState);
      const visit =
        requestId === null || visitId !== undefined
          ? { id: visitId ?? null, flag: null }
          : await visitFor(context, { requestId, day, intakeId: frame.intake_id });
      const flags = JSON.parse(frame.flags) as string[];
      await writing.update("frame", id, {
        request_id: requestId,
        visit_id: visit.id,
        placed_by: requestId === null ? null : "person",
        placing: because,
        flags: visit.flag === null ? frame.flags : jsonText([...new Set([...flags, visit.flag])]),
      });
    }
    const details = { because, request: requestId, visit: visitId ?? null, before };
    const moved = Object.keys(before).length;
    const subject = requestId === null ? `frame/${frameIds[0]}` : `request/${requestId}`;
    return { value: { moved }, deed: { act: "frame.place", subject, details } };
  },
});

async function faultOfPlace(
  { tables }: ActContext,
  requestId: string | null,
  visitId: string | undefined,
): Promise<string | null> {
  if (requestId === null)
    return visitId === undefined ? null : "A visit belongs to a request; name that as well";
  const request = await tables
    .selectFrom("request")
    .select("id")
    .where("id", "=", requestId)
    .executeTakeFirst();
  if (!request) return `There is no request ${requestId}`;
  if (visitId === undefined) return null;
  const visit = await tables
    .selectFrom("visit")
    .select(["request_id", "void_because"])
    .where("id", "=", visitId)
    .executeTakeFirst();
  if (!visit) return `There is no visit ${visitId}`;
  if (visit.request_id !== requestId) return `The visit ${visitId} belongs to another request`;
  return visit.void_because === null ? null : `The visit ${visitId} counts no longer: ${visit.void_because}`;
}
