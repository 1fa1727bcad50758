import { statfs } from "node:fs/promises";
import { SamescaleError } from "@samescale/errors";

/** What must stay free, so that log and database can go on. */
const RESERVE_BYTES = 500_000_000;

/** Dropped files lie here and, a while, in the library as well. @throws SamescaleError DISK_FULL */
export async function refuseWithoutRoom(folder: string, bytes: number): Promise<void> {
  const free = await freeBytes(folder);
  const needed = 2 * bytes + RESERVE_BYTES;
  if (free >= needed) return;
  throw new SamescaleError(
    "DISK_FULL",
    `The server's disk has ${inGB(free)} GB free; taking this in needs ${inGB(needed)} GB`,
    "Free some space and drop it again, or take the card in as a folder at the server.",
  );
}

export async function freeBytes(folder: string): Promise<number> {
  const { bavail, bsize } = await statfs(folder);
  return bavail * bsize;
}

const inGB = (bytes: number) => (bytes / 1e9).toFixed(1);
