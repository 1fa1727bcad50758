import { actorText, PHOTOGRAPHERS } from "../act/actor.ts";
import { isPlainText } from "../act/checks.ts";
import { type ActContext, defineAct } from "../act/define-act.ts";
import { jsonText } from "../act/json.ts";
import { visitFor } from "../visits/visit-for.ts";
import { clockFlag, clockState, dayOf, shifted } from "./camera-clock.ts";

export interface ClockCorrection {
  readonly intakeId: string;
  /** Seconds to add to what the camera's clock said; replaces an earlier correction. */
  readonly offsetS: number;
  /** How it is known: "photograph of the clinic's clock, DSC_0003". */
  readonly because: string;
}

/**
 * Puts the times of a card right. What the camera wrote stays; the corrected time stands beside it, with who and
 * why. Visits that were opened for these frames follow to the right day.
 */
export const correctClock = defineAct<ClockCorrection, { readonly frames: number }>({
  name: "clock.correct",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run({ intakeId, offsetS, because }, context) {
    const { writing, tables, actor, now } = context;
    if (!Number.isSafeInteger(offsetS)) return { refused: `Expected whole seconds, received ${offsetS}` };
    if (!isPlainText(because)) return { refused: "Correcting a clock needs a reason" };
    const intake = await tables
      .selectFrom("intake")
      .selectAll()
      .where("id", "=", intakeId)
      .executeTakeFirst();
    if (!intake) return { refused: `There is no intake ${intakeId}` };
    if (intake.finished_at === null)
      return { refused: "This card is not wholly taken in yet; finish that first" };
    await writing.update("intake", intakeId, {
      clock_offset_s: offsetS,
      clock_because: because,
      clock_by: actorText(actor),
    });
    const frames = await tables
      .selectFrom("frame")
      .select(["id", "taken_raw", "taken_camera", "visit_id", "clock", "flags"])
      .where("intake_id", "=", intakeId)
      .orderBy("position")
      .execute();
    const days = new Map<string, string | null>();
    for (const { id, taken_raw, taken_camera, clock: before, flags } of frames) {
      const taken_at = shifted(taken_camera, offsetS);
      const clock = clockState(taken_raw, taken_at, new Date(now));
      days.set(id, dayOf(taken_at, clock));
      const odd = [clockFlag(clock, taken_raw)].filter((flag) => flag !== null);
      const others = (JSON.parse(flags) as string[]).filter((flag) => flag !== clockFlag(before, taken_raw));
      await writing.update("frame", id, { taken_at, clock, flags: jsonText([...odd, ...others]) });
    }
    for (const [visitId, ofVisit] of Map.groupBy(frames, (frame) => frame.visit_id)) {
      if (visitId !== null)
        await moveVisit(
          context,
          visitId,
          intakeId,
          ofVisit.map((frame) => frame.id),
          days,
        );
    }
    const details = { because, offsetS, before: intake.clock_offset_s };
    const deed = { act: "clock.correct", subject: `intake/${intakeId}`, details };
    return { value: { frames: frames.length }, deed };
  },
});

/** A visit that a label frame opened has its day from the camera's clock; one that a person opened keeps it. */
async function moveVisit(
  context: ActContext,
  visitId: string,
  intakeId: string,
  frameIds: readonly string[],
  days: ReadonlyMap<string, string | null>,
): Promise<void> {
  const { writing, tables } = context;
  const visit = await tables
    .selectFrom("visit")
    .selectAll()
    .where("id", "=", visitId)
    .executeTakeFirstOrThrow();
  if (visit.opened_by === "person") return;
  for (const id of frameIds) {
    const day = days.get(id) ?? null;
    if (day === visit.date) continue;
    const found = await visitFor(context, { requestId: visit.request_id, day, intakeId });
    const { flags } = await tables
      .selectFrom("frame")
      .select("flags")
      .where("id", "=", id)
      .executeTakeFirstOrThrow();
    const flagged = found.flag === null ? flags : jsonText([...(JSON.parse(flags) as string[]), found.flag]);
    await writing.update("frame", id, { visit_id: found.id, flags: flagged });
  }
  const left = await tables
    .selectFrom("frame")
    .select("id")
    .where("visit_id", "=", visitId)
    .executeTakeFirst();
  if (left === undefined) {
    const void_because = "The clock was corrected, its frames belong to another day";
    await writing.update("visit", visitId, { void_because });
  }
}
