import { lstat } from "node:fs/promises";
import type { ListedFile, Listing } from "./list-folder.ts";

/** A file of the folder as it was last looked at. */
export interface TrackedFile extends ListedFile {
  sizeBytes: number;
  mtimeMs: number;
  /** Device and number of the file: they stay through a rename, where the file system has such numbers. */
  inode: string;
  /** When its present size and time were first seen. */
  changedAtMs: number;
  /** Nothing more to find out until it changes. */
  isSettled: boolean;
  /** Not before then is it looked into again. */
  retryAtMs: number;
  missingSinceMs: number | null;
  /** What was said of it last, so that it is said once. */
  said: string;
}

export interface Changes {
  readonly appeared: readonly TrackedFile[];
  readonly missing: readonly TrackedFile[];
  readonly present: readonly TrackedFile[];
}

/** Settled files asked again in one look: one that was overwritten without a hint is noticed within a few seconds. */
const SETTLED_A_LOOK = 48;
const AT_ONCE = 32;

/**
 * Keeps what is known of each file, and asks the system only for those that are new, still changing, or hinted at; the
 * others take turns. A folder of thousands of frames then costs one listing a look.
 */
export class TrackedFiles {
  readonly #files = new Map<string, TrackedFile>();
  #turn = 0;

  all(): IterableIterator<TrackedFile> {
    return this.#files.values();
  }

  unsettled(): TrackedFile[] {
    return [...this.#files.values()].filter((file) => !file.isSettled && file.missingSinceMs === null);
  }

  drop(file: TrackedFile): void {
    this.#files.delete(file.key);
  }

  /** @param hinted paths that something was heard of since the last look */
  async update(listing: Listing, hinted: ReadonlySet<string>, nowMs: number): Promise<Changes> {
    const listed = new Set<string>();
    const appeared: TrackedFile[] = [];
    const present: TrackedFile[] = [];
    for (const file of listing.files) {
      listed.add(file.key);
      const known = this.#files.get(file.key);
      if (!known) {
        const tracked = fresh(file, nowMs);
        this.#files.set(file.key, tracked);
        appeared.push(tracked);
      } else if (known.missingSinceMs !== null) {
        known.missingSinceMs = null;
        known.isSettled = false;
        present.push(known);
      }
    }
    const missing: TrackedFile[] = [];
    for (const file of this.#files.values()) {
      if (listed.has(file.key) || file.missingSinceMs !== null) continue;
      if (listing.closed.some(({ key }) => file.key.startsWith(`${key}/`))) continue;
      file.missingSinceMs = nowMs;
      missing.push(file);
    }
    const ask = new Set(this.unsettled());
    const settled = [...this.#files.values()].filter(
      (file) => file.isSettled && file.missingSinceMs === null,
    );
    for (const file of settled) if (hinted.has(file.path)) ask.add(file);
    for (let n = 0; n < Math.min(SETTLED_A_LOOK, settled.length); n++) {
      ask.add(settled[this.#turn++ % settled.length] as TrackedFile);
    }
    const asked = [...ask];
    for (let from = 0; from < asked.length; from += AT_ONCE) {
      await Promise.all(asked.slice(from, from + AT_ONCE).map((file) => askFor(file, nowMs)));
    }
    return { appeared, missing, present };
  }
}

const fresh = (file: ListedFile, nowMs: number): TrackedFile => ({
  ...file,
  sizeBytes: -1,
  mtimeMs: Number.NaN,
  inode: "",
  changedAtMs: nowMs,
  isSettled: false,
  retryAtMs: 0,
  missingSinceMs: null,
  said: "",
});

async function askFor(file: TrackedFile, nowMs: number): Promise<void> {
  try {
    const { size, mtimeMs, dev, ino } = await lstat(file.at);
    const inode = `${dev}:${ino}`;
    if (size === file.sizeBytes && mtimeMs === file.mtimeMs && inode === file.inode) return;
    Object.assign(file, {
      sizeBytes: size,
      mtimeMs,
      inode,
      changedAtMs: nowMs,
      isSettled: false,
      retryAtMs: 0,
    });
  } catch {
    // Gone since it was listed, or not to be asked: looking into it will say which.
    file.isSettled = false;
  }
}
