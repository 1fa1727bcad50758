import { constants } from "node:fs";
import { open, readFile } from "node:fs/promises";
import { join } from "node:path";
import { SamescaleError } from "@samescale/errors";
import type { Head } from "./chain.ts";

export const HEAD_FILE = "custody.head";

/** A head as a person can write it down: `17:ab12…`. */
export const headText = (head: Head): string => `${head.sequence}:${head.hash}`;

/** Reads what `headText` wrote, leading zeros allowed; null when it is not that. */
export function headOfText(text: string): Head | null {
  const parts = /^(\d{1,15}):([0-9a-f]{64})\s*$/.exec(text);
  return parts ? { sequence: Number(parts[1]), hash: parts[2] as string } : null;
}

/** Always the same length, so that it can be written over in a single write. */
const fileText = (head: Head): string => `${String(head.sequence).padStart(15, "0")}:${head.hash}\n`;

/**
 * Keeps the head beside the database after every act. It finds a database that was put back from an older copy
 * or lost its end; who can write here can change both, so a head that must convince others is kept elsewhere.
 * A run that is killed between the commit and this leaves an older head, which still lies on the chain.
 *
 * Written over the old one in a single write: no moment at which half of it is there.
 */
export async function keepHead(folder: string, head: Head): Promise<void> {
  const handle = await open(join(folder, HEAD_FILE), constants.O_WRONLY | constants.O_CREAT, 0o644);
  try {
    await handle.write(fileText(head), 0);
    await handle.datasync();
  } finally {
    await handle.close();
  }
}

/** @throws SamescaleError HEAD_UNREADABLE */
export async function keptHead(folder: string): Promise<Head | null> {
  const path = join(folder, HEAD_FILE);
  const text = await readFile(path, "utf8").catch((thrown) => {
    if ((thrown as NodeJS.ErrnoException).code === "ENOENT") return null;
    throw thrown;
  });
  // Empty: a run was killed between making the file and its first write.
  if (text === null || text === "") return null;
  const head = headOfText(text);
  if (head !== null && fileText(head) === text) return head;
  throw new SamescaleError(
    "HEAD_UNREADABLE",
    `${path} is not the head of a custody log`,
    "Compare the log with a head that was kept elsewhere: samescale verify --head NUMBER:HASH.",
  );
}
