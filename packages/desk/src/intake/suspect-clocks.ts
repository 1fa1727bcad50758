import { type Actor, PHOTOGRAPHERS } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import { secondsBetween } from "./camera-clock.ts";

/** A card whose camera's clock disagrees with the appointment book. */
export interface SuspectClock {
  readonly intakeId: string;
  readonly cardPath: string;
  /** How far ahead (+) the camera's clock ran, in seconds: the median over the card's label frames. */
  readonly aheadS: number;
  readonly labelFrames: number;
}

/** Clinics run late by less than this; clocks that were not set to the zone or to summer time are off by more. */
const LEAST_S = 45 * 60;

/**
 * Compares when label frames say they were made with when their requests were booked. A hint for a person who looks at
 * a clock, and only for those who can; nothing is corrected. Requests without booked times, and clocks corrected already, are passed over.
 */
export async function suspectClocks(desk: Desk, actor: Actor): Promise<readonly SuspectClock[]> {
  if (!PHOTOGRAPHERS.includes(actor.role)) return [];
  const rows = await desk.library.read
    .selectFrom("frame")
    .innerJoin("request", "request.id", "frame.request_id")
    .innerJoin("intake", "intake.id", "frame.intake_id")
    .select(["frame.intake_id", "frame.taken_camera", "request.details"])
    .select(["intake.card_path", "intake.begun_at"])
    .where("frame.kind", "=", "label")
    .where("intake.clock_offset_s", "is", null)
    .execute();
  const suspects: SuspectClock[] = [];
  for (const [intakeId, labels] of Map.groupBy(rows, (row) => row.intake_id)) {
    const ahead = labels
      .flatMap((label) => {
        const { bookedAt = [] } = JSON.parse(label.details) as { bookedAt?: readonly string[] };
        const past = bookedAt.filter((booked) => !isAfter(booked, label.begun_at));
        return label.taken_camera === null ? [] : nearest(label.taken_camera, past);
      })
      .toSorted((a, b) => a - b);
    const median = ahead[Math.floor(ahead.length / 2)];
    if (median === undefined || Math.abs(median) < LEAST_S) continue;
    const cardPath = labels[0]!.card_path;
    suspects.push({ intakeId, cardPath, aheadS: median, labelFrames: ahead.length });
  }
  return suspects;
}

/** The furthest that a local time can be from UTC. */
const ZONE_MS = 14 * 3600 * 1000;

/** What is booked for after the card was brought is the next visit, not the one on the card. */
const isAfter = (bookedLocal: string, begunAt: string): boolean =>
  Date.parse(`${bookedLocal}Z`) - ZONE_MS > Date.parse(begunAt);

/** Seconds from the nearest booking to the time, none when there is no booking. */
function nearest(time: string, bookedAt: readonly string[]): number[] {
  const gaps = bookedAt.flatMap((booked) => secondsBetween(booked, time) ?? []);
  return gaps.length === 0 ? [] : [gaps.reduce((a, b) => (Math.abs(b) < Math.abs(a) ? b : a))];
}
