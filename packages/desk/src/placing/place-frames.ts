import { PHOTOGRAPHERS } from "../act/actor.ts";
import { isPlainText } from "../act/checks.ts";
import { type ActContext, defineAct } from "../act/define-act.ts";
import { jsonText } from "../act/json.ts";
import { dayOf } from "../intake/camera-clock.ts";
import { type FoundVisit, visitFor } from "../visits/visit-for.ts";
import { type Consequences, consequencesOf } from "./consequences.ts";

export interface FramesToPlace {
  readonly frameIds: readonly string[];
  /** Null: back to the unplaced. */
  readonly requestId: string | null;
  /** The visit when it is known; else that of the frame's day, opened when there is none. */
  readonly visitId?: string;
  /** Why, in the person's own words. */
  readonly because: string;
}

export interface Placed extends Consequences {
  readonly moved: number;
  /** What a person should settle now, such as which of two visits of a day is meant. */
  readonly doubts: readonly string[];
}

/** How a frame stood before, as the log keeps it: enough to put it back. */
export type FrameBefore = {
  readonly request: string | null;
  readonly visit: string | null;
  readonly placedBy: "label" | "person" | null;
  readonly placing: string;
  readonly flags: string;
};

/**
 * A person says whose frames these are. The log keeps where they were before; the answer lists what had left from them
 * already and what was made of them for another request.
 */
export const placeFrames = defineAct<FramesToPlace, Placed>({
  name: "frame.place",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run({ frameIds, requestId, visitId, because }, context) {
    const { writing, tables } = context;
    if (!isPlainText(because)) return { refused: "Placing frames by hand needs a reason" };
    if (frameIds.length === 0) return { refused: "No frames were named" };
    const fault = await faultOfPlace(context, requestId, visitId);
    if (fault !== null) return { refused: fault };
    const frames: FrameRow[] = [];
    for (const id of new Set(frameIds)) {
      const frame = await frameOf(tables, id);
      if (!frame) return { refused: `There is no frame ${id}` };
      frames.push(frame);
    }
    const before: Record<string, FrameBefore> = {};
    const after: Record<string, { visit: string | null }> = {};
    const doubts = new Set<string>();
    for (const frame of frames) {
      const visit = await visitOf(context, frame, requestId, visitId);
      if (visit.flag !== null) doubts.add(visit.flag);
      before[frame.id] = stateOf(frame);
      after[frame.id] = { visit: visit.id };
      const flags = [...(JSON.parse(frame.flags) as string[]), ...(visit.flag === null ? [] : [visit.flag])];
      await writing.update("frame", frame.id, {
        request_id: requestId,
        visit_id: visit.id,
        placed_by: requestId === null ? null : "person",
        placing: because,
        flags: jsonText([...new Set(flags)]),
      });
    }
    const details = { because, request: requestId, visit: visitId ?? null, before, after };
    const subject = requestId === null ? `frame/${frameIds[0]}` : `request/${requestId}`;
    const consequences = await consequencesOf(tables, frames.flatMap(leaving(requestId)));
    return {
      value: { moved: frames.length, doubts: [...doubts], ...consequences },
      deed: { act: "frame.place", subject, details },
    };
  },
});

const frameOf = (tables: ActContext["tables"], id: string) =>
  tables.selectFrom("frame").selectAll().where("id", "=", id).executeTakeFirst();

type FrameRow = NonNullable<Awaited<ReturnType<typeof frameOf>>>;

const stateOf = (frame: FrameRow): FrameBefore => ({
  request: frame.request_id,
  visit: frame.visit_id,
  placedBy: frame.placed_by,
  placing: frame.placing,
  flags: frame.flags,
});

/** A frame that belonged to another request than it goes to now. */
export const leaving =
  (to: string | null) =>
  ({ id, request_id }: Pick<FrameRow, "id" | "request_id">) =>
    request_id !== null && request_id !== to ? [{ frameId: id, requestId: request_id }] : [];

async function visitOf(
  context: ActContext,
  frame: FrameRow,
  requestId: string | null,
  visitId: string | undefined,
): Promise<FoundVisit> {
  if (requestId === null || visitId !== undefined) return { id: visitId ?? null, flag: null };
  const day = dayOf(frame.taken_at, frame.clock);
  return await visitFor(context, { requestId, day, intakeId: frame.intake_id });
}

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
