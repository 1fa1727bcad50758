import { PHOTOGRAPHERS } from "../act/actor.ts";
import { type ActContext, defineAct } from "../act/define-act.ts";
import { type Consequences, consequencesOf } from "./consequences.ts";
import { type FrameBefore, leaving } from "./place-frames.ts";

export interface Undone extends Consequences {
  /** Number of the log's entry that was undone, who had done it, when and why. */
  readonly entry: number;
  readonly doneBy: string;
  readonly doneAt: string;
  readonly because: string;
  readonly frames: readonly string[];
}

interface PlacingDetails {
  readonly because: string;
  readonly request: string | null;
  readonly before: Readonly<Record<string, FrameBefore>>;
  readonly after: Readonly<Record<string, { readonly visit: string | null }>>;
}

/** One placing by its entry in the log, or by the frames that it placed (the newest of them); null: the last of all. */
export type PlacingToUndo = { readonly entry: number } | { readonly frameIds: readonly string[] } | null;

/**
 * Takes a placing by hand back: every frame of it stands again as it stood before. The last one when none is named; called
 * again, the one before that. Refused when a frame was changed since: then a person places it anew.
 */
export const undoPlacing = defineAct<PlacingToUndo, Undone>({
  name: "frame.undo",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run(wanted, context) {
    const { writing, tables } = context;
    const last = await lastPlacing(tables, wanted);
    if (!last) {
      const which =
        wanted === null ? "No placing by hand is left to be undone" : "This was taken back already";
      return { refused: which };
    }
    const placed = JSON.parse(last.details) as PlacingDetails;
    const ids = Object.keys(placed.before);
    const left: Parameters<typeof consequencesOf>[1][number][] = [];
    for (const id of ids) {
      const frame = await tables
        .selectFrom("frame")
        .select(["id", "name", "request_id", "visit_id"])
        .where("id", "=", id)
        .executeTakeFirstOrThrow();
      if (frame.request_id !== placed.request || frame.visit_id !== placed.after[id]?.visit) {
        return {
          refused: `Frame ${frame.name} (${id}) was changed since it was placed: place it anew instead`,
        };
      }
      left.push(...leaving(placed.before[id]?.request ?? null)(frame));
    }
    for (const [id, before] of Object.entries(placed.before)) {
      await writing.update("frame", id, {
        request_id: before.request,
        visit_id: before.visit,
        placed_by: before.placedBy,
        placing: before.placing,
        flags: before.flags,
      });
    }
    const { sequence, actor, time, subject } = last;
    const value = { entry: sequence, doneBy: actor, doneAt: time, because: placed.because, frames: ids };
    const details = { undoes: sequence, doneBy: actor, frames: ids, request: placed.request };
    return {
      value: { ...value, ...(await consequencesOf(tables, left)) },
      deed: { act: "frame.undo", subject, details },
    };
  },
});

const AT_ONCE = 100;

/** The newest placing that no later entry has undone, of those that are meant. */
async function lastPlacing(tables: ActContext["tables"], wanted: PlacingToUndo) {
  const undone = new Set<number>();
  let before = Number.MAX_SAFE_INTEGER;
  for (;;) {
    const entries = await tables
      .selectFrom("act")
      .select(["sequence", "actor", "time", "act", "subject", "details"])
      .where("act", "in", ["frame.place", "frame.undo"])
      .where("sequence", "<", before)
      .orderBy("sequence", "desc")
      .limit(AT_ONCE)
      .execute();
    for (const entry of entries) {
      if (entry.act === "frame.place" && !undone.has(entry.sequence) && isMeant(entry, wanted)) return entry;
      if (entry.act === "frame.undo") undone.add((JSON.parse(entry.details) as { undoes: number }).undoes);
    }
    if (entries.length < AT_ONCE) return null;
    before = entries.at(-1)!.sequence;
  }
}

function isMeant(
  entry: { readonly sequence: number; readonly details: string },
  wanted: PlacingToUndo,
): boolean {
  if (wanted === null) return true;
  if ("entry" in wanted) return entry.sequence === wanted.entry;
  const placed = Object.keys((JSON.parse(entry.details) as PlacingDetails).before);
  return placed.length === wanted.frameIds.length && placed.every((id) => wanted.frameIds.includes(id));
}
