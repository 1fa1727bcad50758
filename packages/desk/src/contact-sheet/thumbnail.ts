import type { PicturePool } from "@samescale/picture";
import { lookAt } from "../access/look.ts";
import type { Actor } from "../act/actor.ts";
import { longSidePx, storedPictures } from "../derive/stored-picture.ts";
import type { Desk } from "../desk.ts";

/** A stored picture this much smaller than asked for is still what was asked for: nobody sees the difference. */
const NEAR = 0.9;

/**
 * A small JPEG of an original for the contact sheet: the one that was made when it came in, where that fits; else
 * made now, from the preview or the original. Null when the library has no such picture that they may look at.
 */
export async function thumbnail(
  desk: Desk,
  actor: Actor,
  pool: PicturePool,
  sha256: string,
  maxSidePx: number,
): Promise<Uint8Array | null> {
  if (!(await lookAt(desk, actor, sha256))) return null;
  const { originals, derived, read } = desk.library;
  const file = await read.selectFrom("file").select("kind").where("sha256", "=", sha256).executeTakeFirst();
  if ((file?.kind ?? null) !== null || !(await originals.has(sha256))) return null;
  for (const picture of await storedPictures(desk, sha256)) {
    const side = longSidePx(picture);
    if (side < NEAR * maxSidePx || !(await derived.has(picture.sha256))) continue;
    if (side <= maxSidePx) return await bytesOf(derived.open(picture.sha256));
    return await pool.run("thumbnail", { file: await derived.localFile(picture.sha256), maxSidePx });
  }
  return await pool.run("thumbnail", { file: await originals.localFile(sha256), maxSidePx });
}

async function bytesOf(pieces: AsyncIterable<Uint8Array>): Promise<Uint8Array> {
  const all: Uint8Array[] = [];
  for await (const piece of pieces) all.push(piece);
  return Buffer.concat(all);
}
