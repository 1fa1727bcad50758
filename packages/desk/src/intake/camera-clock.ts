import type { InfoAnswer } from "@samescale/picture";

/** What can be said of a frame's time without asking anybody. */
export type ClockState = "plausible" | "none" | "impossible" | "before-cameras" | "future";

export interface CameraTime {
  /** What the camera wrote; kept whatever becomes of the rest. */
  readonly raw: string | null;
  /** Local time without a zone, `2026-03-15T14:30:00` with or without a fraction; null: not a time. */
  readonly local: string | null;
}

/** Exif came in 1995: an earlier date is a clock that was never set. */
const FIRST_YEAR = 1995;
/** The zone of a camera's clock is seldom stated; it may be 14 h ahead of UTC. */
const AHEAD_MS = 14 * 3600 * 1000;

export function cameraTime(takenAt: InfoAnswer["takenAt"]): CameraTime {
  if (takenAt === null) return { raw: null, local: null };
  const local = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(\.\d+)?/.exec(takenAt.iso ?? "")?.[0] ?? null;
  return { raw: takenAt.raw, local };
}

/** @param local with the card's clock offset added, where one is known */
export function clockState(raw: string | null, local: string | null, now: Date): ClockState {
  if (raw === null) return "none";
  if (local === null) return "impossible";
  if (Number(local.slice(0, 4)) < FIRST_YEAR) return "before-cameras";
  return Date.parse(`${local}Z`) > now.getTime() + AHEAD_MS ? "future" : "plausible";
}

/** Words for a person; null where nothing is odd. */
export function clockFlag(state: ClockState, raw: string | null): string | null {
  switch (state) {
    case "plausible":
      return null;
    case "none":
      return "The file does not say when it was taken";
    case "impossible":
      return `The camera wrote a time that is none: ${raw}`;
    case "before-cameras":
    case "future":
      return `The camera's clock cannot be right: ${raw}`;
  }
}

/** The local time that many seconds later; null where there is none, or none that can be written in four digits. */
export function shifted(local: string | null, offsetS: number): string | null {
  if (local === null) return null;
  const moved = new Date(Date.parse(`${local}Z`) + offsetS * 1000);
  const text = Number.isNaN(moved.getTime()) ? "" : moved.toISOString();
  if (!/^\d{4}-/.test(text)) return null;
  return local.includes(".") ? text.slice(0, 23) : text.slice(0, 19);
}

/** The day of a time that can be believed; null for any other. */
export function dayOf(local: string | null, state: ClockState): string | null {
  return local !== null && state === "plausible" ? local.slice(0, 10) : null;
}

/** Seconds from one local time to a later one; null where one is missing. */
export function secondsBetween(from: string | null, to: string | null): number | null {
  if (from === null || to === null) return null;
  return (Date.parse(`${to}Z`) - Date.parse(`${from}Z`)) / 1000;
}
