import { type Actor, actorText } from "../../act/actor.ts";
import type { Outcome } from "../../act/outcome.ts";
import type { Desk } from "../../desk.ts";
import { takeBackFrames, trashFrames } from "./trash.ts";

/** How far back a slip is looked for: what lies behind this many acts of everybody is no slip any more. */
const ACTS_BACK = 500;

export interface Undone {
  /** The act that was undone, as the log names it. */
  readonly act: string;
  readonly sequence: number;
  readonly frames: number;
}

/**
 * Undoes the last time that this person put frames aside or took them back. Nothing is taken out of the log: the undoing
 * is an act of its own, and can be undone like any other.
 */
export async function undoTrash(desk: Desk, actor: Actor): Promise<Outcome<Undone>> {
  const newest = await desk.library.read
    .selectFrom("act")
    .select(["sequence", "act", "actor", "details"])
    .orderBy("sequence", "desc")
    .limit(ACTS_BACK)
    .execute();
  const last = newest.find(({ act, actor: who }) => act in OPPOSITE && who === actorText(actor));
  if (!last) return { done: false, reason: "You put nothing aside and took nothing back lately" };
  const { frames, because } = JSON.parse(last.details) as { frames: readonly string[]; because: string };
  const opposite = OPPOSITE[last.act as keyof typeof OPPOSITE];
  const why = `entry ${last.sequence} undone (${because})`;
  const done = await opposite(desk, actor, { frameIds: frames, because: why });
  if (!done.done) return done;
  return { done: true, value: { act: last.act, sequence: last.sequence, frames: done.value.frames } };
}

const OPPOSITE = { "frame.trash": takeBackFrames, "frame.take-back": trashFrames };
