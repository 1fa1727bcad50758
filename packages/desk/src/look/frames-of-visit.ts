import { seenFrames } from "../access/seeing.ts";
import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";

/** A frame and the one of its files that is looked at. */
export interface LookedAtFrame {
  readonly frameId: string;
  readonly sha256: string;
  readonly name: string;
  readonly takenAt: string | null;
  readonly position: number;
}

/** RAW files are kept beside their JPEG; the JPEG is what steps look at, as it is what everybody sees. */
const LOOKED_AT_FIRST = ["jpeg", "heif", "heic", "tiff", "png", "webp"];

/**
 * The pictures of one visit that somebody may look at, in the order in which they were made; label frames and
 * those that were put aside are left out.
 */
export async function framesOfVisit(
  desk: Desk,
  actor: Actor,
  visitId: string,
): Promise<readonly LookedAtFrame[]> {
  return framesOf(
    await filesOfFrames(desk, actor)
      .where("frame.visit_id", "=", visitId)
      .where("frame.kind", "=", "picture")
      .where("frame.trashed_at", "is", null)
      .orderBy("frame.taken_at", (order) => order.asc().nullsFirst())
      .orderBy("frame.position")
      .execute(),
  );
}

/** One frame and the file that is looked at; null where there is no such frame that they may look at. */
export async function lookedAt(desk: Desk, actor: Actor, frameId: string): Promise<LookedAtFrame | null> {
  const [frame] = framesOf(await filesOfFrames(desk, actor).where("frame.id", "=", frameId).execute());
  return frame ?? null;
}

const filesOfFrames = ({ library }: Desk, actor: Actor) =>
  library.read
    .selectFrom("frame")
    .innerJoin("file", "file.frame_id", "frame.id")
    .where("file.kind", "is", null)
    .where("file.destroyed_at", "is", null)
    .select(["frame.id", "frame.position", "frame.taken_at", "file.sha256", "file.name", "file.format"])
    .where(seenFrames(actor, library.clock().toISOString()));

type FileOfFrame = Awaited<ReturnType<ReturnType<typeof filesOfFrames>["execute"]>>[number];

function framesOf(rows: readonly FileOfFrame[]): LookedAtFrame[] {
  const frames = new Map<string, FileOfFrame>();
  for (const row of rows) {
    const known = frames.get(row.id);
    if (!known || rank(row.format) < rank(known.format)) frames.set(row.id, row);
  }
  return [...frames.values()].map((row) => ({
    frameId: row.id,
    sha256: row.sha256,
    name: row.name,
    takenAt: row.taken_at,
    position: row.position,
  }));
}

function rank(format: string): number {
  const at = LOOKED_AT_FIRST.indexOf(format.toLowerCase());
  return at < 0 ? LOOKED_AT_FIRST.length : at;
}
