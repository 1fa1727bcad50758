import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import { secondsBetween } from "./camera-clock.ts";
import type { ClockCorrection } from "./correct-clock.ts";
import { type SuspectClock, suspectClocks } from "./suspect-clocks.ts";

/** A correction, or why none can be worked out. */
export type FoundCorrection = ClockCorrection | { readonly refused: string };

const LOCAL = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}$/;

/**
 * From the photograph of a clock that runs right: what the clock shows, less what the camera wrote.
 * @param shows local time, `2026-03-15T09:02:30`, a blank for the T allowed
 */
export async function clockFromFrame(
  { library }: Desk,
  frameId: string,
  shows: string,
): Promise<FoundCorrection> {
  const time = shows.replace(" ", "T");
  if (!LOCAL.test(time) || Number.isNaN(Date.parse(`${time}Z`)))
    return { refused: `Expected what the clock shows as "2026-03-15 09:02:30", received ${shows}` };
  const frame = await library.read
    .selectFrom("frame")
    .select(["name", "intake_id", "taken_camera"])
    .where("id", "=", frameId)
    .executeTakeFirst();
  if (!frame) return { refused: `There is no frame ${frameId}` };
  const offsetS = secondsBetween(frame.taken_camera, time);
  if (offsetS === null) return { refused: `The camera wrote no time into ${frame.name}` };
  const because = `Frame ${frame.name} shows a clock at ${time.replace("T", " ")}`;
  return { intakeId: frame.intake_id, offsetS: Math.round(offsetS), because };
}

const HOUR_S = 3600;

/**
 * From the label frames against the appointment book, in whole hours: clinics run late by minutes, and clocks that were
 * not set to the zone or to summer time are off by hours.
 */
export async function clockAsBooked(desk: Desk, actor: Actor, intakeId: string): Promise<FoundCorrection> {
  const suspect: SuspectClock | undefined = (await suspectClocks(desk, actor)).find(
    (each) => each.intakeId === intakeId,
  );
  if (!suspect) return { refused: "The label frames of this card do not speak against its clock" };
  const hours = Math.round(suspect.aheadS / HOUR_S);
  const because = `Label frames against the times that were booked (${suspect.labelFrames}), in whole hours`;
  return { intakeId, offsetS: -hours * HOUR_S, because };
}
