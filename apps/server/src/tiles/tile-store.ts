import { mkdir, readFile, rm } from "node:fs/promises";
import { join } from "node:path";
import type { PicturePool } from "@samescale/picture";
import { levelsOf, levelWithin, type Size } from "./levels.ts";

/** Enough for a day's pictures; a 60 MP one takes about 11 MB. */
const MOST_BYTES = 1024 ** 3;
/** Whatever is destroyed in the library is gone from here as soon as nobody looked at it for so long. */
const KEPT_MS = 20 * 60_000;
/** Seen so at first, where no smaller picture of it is kept: one screen. */
const FIRST_SIDE_PX = 1600;

/** A picture to cut, on this machine. */
export interface TileSource {
  readonly file: string;
  readonly size: Size;
  readonly preview: { readonly file: string; readonly longSidePx: number } | null;
}

export interface TileStore {
  /** Begins to cut, so that tiles are there when they are asked for. */
  open(sha256: string, source: TileSource): void;
  /** JPEG; waits until it is cut. */
  tile(sha256: string, source: TileSource, level: number, column: number, row: number): Promise<Uint8Array>;
  /** Removes everything. */
  close(): Promise<void>;
}

/** One picture's tiles: the coarse levels first, from its preview, then all of them from the picture itself. */
interface Cut {
  readonly coarse: { readonly finest: number; readonly folder: string; readonly ready: Promise<number> };
  readonly whole: { readonly folder: string; readonly ready: Promise<number> };
  isWhole: boolean;
  bytes: number;
  usedAt: number;
}

/**
 * Tiles of the pictures that are being looked at, in a folder named by their hashes. It is no part of the record: it
 * begins empty, keeps to a size, may be removed at any time, and is read only after the desk said who may look.
 */
export async function openTileStore(folder: string, pool: PicturePool): Promise<TileStore> {
  await rm(folder, { recursive: true, force: true });
  // In the order of last use.
  const cuts = new Map<string, Cut>();
  const sweeping = setInterval(() => sweep(Date.now() - KEPT_MS), 60_000);
  sweeping.unref();

  function begin(sha256: string, { file, size, preview }: TileSource): Cut {
    const levels = levelsOf(size);
    const finest = levelWithin(levels, preview?.longSidePx ?? FIRST_SIDE_PX);
    const at = join(folder, sha256);
    const coarse = { finest, folder: join(at, "coarse"), ready: coarseCut() };
    const cut: Cut = {
      coarse,
      whole: { folder: join(at, "whole"), ready: wholeCut() },
      isWhole: false,
      bytes: 0,
      usedAt: 0,
    };
    async function coarseCut(): Promise<number> {
      await mkdir(at, { recursive: true, mode: 0o700 });
      const from = preview?.file ?? file;
      const to = join(at, "coarse");
      return (await pool.run("tiles", { file: from, folder: to, finest: levels[finest]! })).bytes;
    }
    async function wholeCut(): Promise<number> {
      // What is seen first is not to wait for it; and without a preview to cut the picture itself may still be cut.
      await coarse.ready.catch(() => {});
      return (await pool.run("tiles", { file, folder: join(at, "whole") })).bytes;
    }
    const note = (bytes: number) => {
      cut.bytes += bytes;
      keepToSize();
    };
    coarse.ready.then(note, () => {});
    cut.whole.ready.then(
      (bytes) => {
        cut.isWhole = true;
        note(bytes);
      },
      // Said to whoever asks for a tile; who asks later tries again.
      () => void (cuts.get(sha256) === cut && cuts.delete(sha256)),
    );
    return cut;
  }

  function use(sha256: string, source: TileSource): Cut {
    const cut = cuts.get(sha256) ?? begin(sha256, source);
    cut.usedAt = Date.now();
    cuts.delete(sha256);
    cuts.set(sha256, cut);
    return cut;
  }

  function keepToSize(): void {
    let bytes = [...cuts.values()].reduce((sum, cut) => sum + cut.bytes, 0);
    for (const [sha256, cut] of cuts) {
      if (bytes <= MOST_BYTES || cuts.size === 1) return;
      bytes -= cut.bytes;
      forget(sha256, cut);
    }
  }

  function sweep(before: number): void {
    for (const [sha256, cut] of cuts) if (cut.usedAt < before) forget(sha256, cut);
  }

  function forget(sha256: string, cut: Cut): void {
    cuts.delete(sha256);
    // What is still being cut is removed when it is whole, and only if nobody began anew meanwhile.
    void cut.whole.ready
      .catch(() => {})
      .then(async () => {
        if (!cuts.has(sha256)) await rm(join(folder, sha256), { recursive: true, force: true });
      });
  }

  async function readTile(cut: Cut, level: number, name: string): Promise<Uint8Array> {
    const { coarse, whole } = cut;
    const from = !cut.isWhole && level <= coarse.finest ? coarse : whole;
    await from.ready;
    return await readFile(join(from.folder, String(level), name));
  }

  return {
    open: (sha256, source) => void use(sha256, source),
    async tile(sha256, source, level, column, row) {
      const name = `${column}_${row}.jpeg`;
      const cut = use(sha256, source);
      try {
        return await readTile(cut, level, name);
      } catch (thrown) {
        if ((thrown as NodeJS.ErrnoException).code !== "ENOENT") throw thrown;
        // Somebody emptied the folder: cut once more.
        if (cuts.get(sha256) === cut) cuts.delete(sha256);
        await cut.whole.ready;
        return await readTile(use(sha256, source), level, name);
      }
    },
    async close() {
      clearInterval(sweeping);
      cuts.clear();
      // The picture library writes its last tile on for a moment after its thread was ended.
      await rm(folder, { recursive: true, force: true, maxRetries: 10, retryDelay: 100 });
    },
  };
}
