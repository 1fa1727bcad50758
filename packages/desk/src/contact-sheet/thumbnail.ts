import type { PicturePool } from "@samescale/picture";
import { seenFrames } from "../access/seeing.ts";
import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";

/** A small JPEG of an original for the contact sheet; null when there is no such original that they may look at. */
export async function thumbnail(
  { library }: Desk,
  actor: Actor,
  pool: PicturePool,
  sha256: string,
  maxSidePx: number,
): Promise<Uint8Array | null> {
  const seen = await library.read
    .selectFrom("file")
    .innerJoin("frame", "frame.id", "file.frame_id")
    .select("frame.id")
    .where("file.sha256", "=", sha256)
    .where(seenFrames(actor, library.clock().toISOString()))
    .executeTakeFirst();
  if (!seen || !(await library.originals.has(sha256))) return null;
  return await pool.run("thumbnail", { file: await library.originals.localFile(sha256), maxSidePx });
}
