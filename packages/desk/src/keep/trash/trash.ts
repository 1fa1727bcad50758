import { maySeeFrame } from "../../access/seeing.ts";
import { PHOTOGRAPHERS } from "../../act/actor.ts";
import { isPlainText } from "../../act/checks.ts";
import { type ActContext, defineAct } from "../../act/define-act.ts";

export interface FramesToTrash {
  readonly frameIds: readonly string[];
  readonly because: string;
}

/** More than a card holds: a slip is not done to a whole library. */
const MOST_FRAMES = 2000;

/** Puts frames aside: no list shows them and none of them leaves, and nothing of them is removed. */
export const trashFrames = defineAct<FramesToTrash, { readonly frames: number }>({
  name: "frame.trash",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run({ frameIds, because }, context) {
    if (!isPlainText(because)) return { refused: "Putting a frame aside needs a reason" };
    const found = await framesOf(frameIds, context);
    if ("refused" in found) return found;
    const gone = found.frames.find((frame) => frame.trashed_at !== null);
    if (gone) return { refused: `The frame ${gone.id} was put aside already: ${gone.trashed_because}` };
    for (const { id } of found.frames) {
      await context.writing.update("frame", id, { trashed_at: context.now, trashed_because: because });
    }
    const details = { because, frames: found.frames.map(({ id }) => id) };
    return {
      value: { frames: found.frames.length },
      deed: { act: "frame.trash", subject: subjectOf(found.frames), details },
    };
  },
});

/** Takes frames back from where they were put aside. */
export const takeBackFrames = defineAct<FramesToTrash, { readonly frames: number }>({
  name: "frame.take-back",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run({ frameIds, because }, context) {
    if (!isPlainText(because)) return { refused: "Taking a frame back needs a reason" };
    const found = await framesOf(frameIds, context);
    if ("refused" in found) return found;
    const there = found.frames.find((frame) => frame.trashed_at === null);
    if (there) return { refused: `The frame ${there.id} is not put aside` };
    for (const { id } of found.frames) {
      await context.writing.update("frame", id, { trashed_at: null, trashed_because: null });
    }
    const before = Object.fromEntries(found.frames.map(({ id, trashed_because }) => [id, trashed_because]));
    const details = { because, frames: found.frames.map(({ id }) => id), before };
    return {
      value: { frames: found.frames.length },
      deed: { act: "frame.take-back", subject: subjectOf(found.frames), details },
    };
  },
});

interface FrameRow {
  readonly id: string;
  readonly request_id: string | null;
  readonly trashed_at: string | null;
  readonly trashed_because: string | null;
}

async function framesOf(
  ids: readonly string[],
  { tables, actor, now }: ActContext,
): Promise<{ readonly refused: string } | { readonly frames: readonly FrameRow[] }> {
  const wanted = [...new Set(ids)];
  if (wanted.length === 0) return { refused: "Name at least one frame" };
  if (wanted.length > MOST_FRAMES) return { refused: `At most ${MOST_FRAMES} frames at once` };
  const frames: FrameRow[] = [];
  for (const id of wanted) {
    const row = await tables
      .selectFrom("frame")
      .select(["id", "request_id", "trashed_at", "trashed_because"])
      .where("id", "=", id)
      .executeTakeFirst();
    if (!row || !(await maySeeFrame(tables, actor, id, now))) return { refused: `There is no frame ${id}` };
    frames.push(row);
  }
  return { frames };
}

const subjectOf = (frames: readonly FrameRow[]): string => `frame/${frames[0]?.id ?? ""}`;
