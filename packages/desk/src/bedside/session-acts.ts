import { maySeeRequest, seenRequests } from "../access/seeing.ts";
import { PHOTOGRAPHERS } from "../act/actor.ts";
import { type Act, defineAct } from "../act/define-act.ts";
import type { SaidVerdict } from "./session.ts";

export interface BedsideBegin {
  readonly requestId: string;
  /** Into which the frames come. */
  readonly folder: string;
}

const GONE = "There is no such request";

/** Watching a request's frames at the bedside begins; on record, so that a server that was started anew goes on with it. */
export const beginBedside: Act<BedsideBegin, null> = defineAct({
  name: "bedside.begin",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run({ requestId, folder }, { tables, actor, now }) {
    const request = await tables
      .selectFrom("request")
      .select(["state", "code"])
      .where("id", "=", requestId)
      .where(seenRequests(actor, now))
      .executeTakeFirst();
    if (!request) return { refused: GONE };
    if (request.state === "cancelled")
      return { refused: `Request ${request.code} was called off: nothing more is made for it` };
    return {
      value: null,
      deed: { act: "bedside.begin", subject: `request/${requestId}`, details: { folder } },
    };
  },
});

/** What a session came to, counted in views of the plan. */
export interface BedsideEnd {
  readonly requestId: string;
  readonly made: readonly string[];
  readonly missing: readonly string[];
}

/** The session is over. The frames themselves come into the record with the card. */
export const endBedside: Act<BedsideEnd, null> = defineAct({
  name: "bedside.end",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run({ requestId, made, missing }, { tables, actor, now }) {
    if (!(await maySeeRequest(tables, actor, requestId, now))) return { refused: GONE };
    return {
      value: null,
      deed: { act: "bedside.end", subject: `request/${requestId}`, details: { made, missing } },
    };
  },
});

export interface BedsideWord {
  readonly requestId: string;
  /** Mark of the frame's content; it has no place in the library yet. */
  readonly frame: string;
  readonly fileName: string;
  /** What the tool said. */
  readonly judged: string | null;
  /** What the person says; null: they take their word back. */
  readonly said: SaidVerdict | null;
}

/** A person decides otherwise than the judgement: their word counts, and both are on record. */
export const sayAtBedside: Act<BedsideWord, null> = defineAct({
  name: "bedside.say",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run({ requestId, frame, fileName, judged, said }, { tables, actor, now }) {
    if (!(await maySeeRequest(tables, actor, requestId, now))) return { refused: GONE };
    return {
      value: null,
      deed: {
        act: "bedside.say",
        subject: `request/${requestId}`,
        details: { frame, fileName, judged, said },
      },
    };
  },
});
