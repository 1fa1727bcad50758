import { type Actor, PHOTOGRAPHERS } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import { type WaitingFrame, waitingFrames } from "./waiting-frames.ts";

/** The label frame that stands before frames on a card: its writing may say whose they are. */
export interface Opener {
  readonly frameId: string;
  readonly sha256: string | null;
  readonly name: string;
  readonly takenAt: string | null;
  /** Code of the request that it opened; null: it waits itself. */
  readonly placedTo: string | null;
}

export interface WaitingGroup {
  /** Null: no label frame stands before them. */
  readonly opener: Opener | null;
  readonly frames: readonly WaitingFrame[];
}

export interface WaitingCard {
  readonly intakeId: string;
  readonly cardPath: string;
  readonly begunAt: string;
  readonly groups: readonly WaitingGroup[];
}

/**
 * The frames that wait for a person, card by card in the order of the card, and between which label frames they stand: what
 * somebody who was there needs to see to say whose they are. For those who may place them, nothing for others.
 */
export async function waitingCards(desk: Desk, actor: Actor): Promise<WaitingCard[]> {
  if (!PHOTOGRAPHERS.includes(actor.role)) return [];
  const waiting = new Map((await waitingFrames(desk, actor)).map((frame) => [frame.frameId, frame]));
  if (waiting.size === 0) return [];
  const rows = await desk.library.read
    .selectFrom("frame")
    .innerJoin("intake", "intake.id", "frame.intake_id")
    .leftJoin("request", "request.id", "frame.request_id")
    .select(["frame.id", "frame.name", "frame.kind", "frame.taken_at", "frame.intake_id"])
    .select(["request.code", "intake.card_path", "intake.begun_at"])
    .select((of) =>
      of
        .selectFrom("file")
        .select("file.sha256")
        .whereRef("file.frame_id", "=", "frame.id")
        .where("file.kind", "is", null)
        .orderBy("file.format")
        .limit(1)
        .as("sha256"),
    )
    .where("frame.intake_id", "in", (of) =>
      of
        .selectFrom("frame as other")
        .select("other.intake_id")
        .where("other.request_id", "is", null)
        .where("other.trashed_at", "is", null),
    )
    .where((is) => is.or([is("frame.kind", "=", "label"), is("frame.request_id", "is", null)]))
    .orderBy("intake.begun_at")
    .orderBy("intake.id")
    .orderBy("frame.position")
    .execute();
  const cards = Map.groupBy(rows, (row) => row.intake_id);
  return [...cards.values()].map((ofCard) => {
    const { intake_id, card_path, begun_at } = ofCard[0]!;
    return { intakeId: intake_id, cardPath: card_path, begunAt: begun_at, groups: groupsOf(ofCard, waiting) };
  });
}

interface Row {
  readonly id: string;
  readonly name: string;
  readonly kind: "picture" | "label";
  readonly taken_at: string | null;
  readonly code: string | null;
  readonly sha256: string | null;
}

function groupsOf(rows: readonly Row[], waiting: ReadonlyMap<string, WaitingFrame>): WaitingGroup[] {
  const groups: { opener: Opener | null; frames: WaitingFrame[] }[] = [{ opener: null, frames: [] }];
  for (const row of rows) {
    const isOpener = row.kind === "label" || (waiting.get(row.id)?.codes.length ?? 0) > 0;
    if (isOpener) {
      const { id, sha256, name, taken_at, code } = row;
      groups.push({ opener: { frameId: id, sha256, name, takenAt: taken_at, placedTo: code }, frames: [] });
    }
    const frame = waiting.get(row.id);
    if (frame) groups.at(-1)!.frames.push(frame);
  }
  return groups.filter(({ frames }) => frames.length > 0);
}
