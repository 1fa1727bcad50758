import type { PicturePool } from "@samescale/picture";
import type { Desk } from "../desk.ts";

/** A small JPEG of an original for the contact sheet; null when the library has no such original. */
export async function thumbnail(
  desk: Desk,
  pool: PicturePool,
  sha256: string,
  maxSidePx: number,
): Promise<Uint8Array | null> {
  if (!(await desk.library.originals.has(sha256))) return null;
  return await pool.run("thumbnail", { file: await desk.library.originals.localFile(sha256), maxSidePx });
}
