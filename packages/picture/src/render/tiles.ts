import { mkdir, readdir, rename, rm, stat } from "node:fs/promises";
import { join } from "node:path";
import { bytesOfFile } from "../decode/bytes-of-file.ts";
import { finishUpright, type UprightPixels } from "../decode/decode.ts";
import type { Size } from "../decode/fitting-size.ts";

/** Side of a tile: few enough requests for a screen, small enough to come one by one. */
export const TILE_PX = 512;
/** An edge that is outlined must not be one of the compression: blocks are not seen at this, at any zoom. */
const QUALITY = 90;

export interface TilesInput {
  readonly file: string;
  /** Made anew, readable by nobody else: FOLDER/LEVEL/COLUMN_ROW.jpeg, level 0 being one pixel. */
  readonly folder: string;
  /** Size of the finest level, for the coarse ones alone, from the picture or a smaller one of it; left out: full size. */
  readonly finest?: Size;
}

export interface TilesAnswer {
  readonly bytes: number;
}

/**
 * The upright picture cut into tiles at every level, each half as large as the next finer one, rounded up. What is asked
 * for at one level is never read from the picture again.
 */
export async function tilesOf({ file, folder, finest }: TilesInput): Promise<TilesAnswer> {
  const { bytes } = await bytesOfFile(file);
  const part = `${folder}.part`;
  const options = finest ? { lookSize: finest } : {};
  try {
    await finishUpright(bytes, file, options, ({ pipeline }) => cut(pipeline, part));
    await rename(join(part, "tiles_files"), folder);
  } finally {
    await rm(part, { recursive: true, force: true });
  }
  return { bytes: await bytesIn(folder) };
}

async function cut(pipeline: UprightPixels["pipeline"], part: string): Promise<void> {
  await rm(part, { recursive: true, force: true });
  await mkdir(part, { recursive: true, mode: 0o700 });
  await pipeline
    .jpeg({ quality: QUALITY })
    .tile({ size: TILE_PX, overlap: 0, layout: "dz", depth: "onepixel", skipBlanks: -1 })
    .toFile(join(part, "tiles.dz"));
}

async function bytesIn(folder: string): Promise<number> {
  let bytes = 0;
  for (const entry of await readdir(folder, { withFileTypes: true, recursive: true })) {
    if (entry.isFile()) bytes += (await stat(join(entry.parentPath, entry.name))).size;
  }
  return bytes;
}
