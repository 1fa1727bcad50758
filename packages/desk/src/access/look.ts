import { type Actor, actorText, CLINICAL } from "../act/actor.ts";
import { defineAct } from "../act/define-act.ts";
import { doneOrThrow } from "../act/outcome.ts";
import type { Desk } from "../desk.ts";
import { seenFrames } from "./seeing.ts";

/** One entry per person, picture and hour: who looked stays readable, however often a page is drawn. */
const ONCE_PER_MS = 3_600_000;

const noteLook = defineAct<{ readonly frameId: string }, null>({
  name: "look.sensitive",
  may: CLINICAL,
  consent: "nothing leaves",
  async run({ frameId }, { tables, actor, now }) {
    const subject = `frame/${frameId}`;
    const lately = await tables
      .selectFrom("act")
      .select("sequence")
      .where("subject", "=", subject)
      .where("act", "=", "look.sensitive")
      .where("actor", "=", actorText(actor))
      .where("time", ">", new Date(Date.parse(now) - ONCE_PER_MS).toISOString())
      .where("time", "<=", now)
      .executeTakeFirst();
    return { value: null, deed: lately ? null : { act: "look.sensitive", subject } };
  },
});

/**
 * Asks whether somebody may look at this original, and puts it on record where it is sensitive, before a pixel is shown.
 * @returns false where there is no such original that they may look at
 * @throws SamescaleError ACT_REFUSED where the look cannot be put on record
 */
export async function lookAt(desk: Desk, actor: Actor, sha256: string): Promise<boolean> {
  const { read, clock } = desk.library;
  const frame = await read
    .selectFrom("file")
    .innerJoin("frame", "frame.id", "file.frame_id")
    .leftJoin("request", "request.id", "frame.request_id")
    .select(["frame.id", "frame.sensitive", "request.sensitive as ofRequest"])
    .where("file.sha256", "=", sha256)
    .where(seenFrames(actor, clock().toISOString()))
    .executeTakeFirst();
  if (!frame) return false;
  if (frame.sensitive !== null || frame.ofRequest !== null) {
    doneOrThrow(await noteLook(desk, actor, { frameId: frame.id }));
  }
  return true;
}
