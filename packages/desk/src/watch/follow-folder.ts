import { stat } from "node:fs/promises";
import { resolve } from "node:path";
import { asSamescaleError, SamescaleError } from "@samescale/errors";
import type { FolderEvent } from "./folder-event.ts";
import { Follower } from "./follower.ts";
import { Hints } from "./hints.ts";
import { listFolder } from "./list-folder.ts";

export interface FollowOptions {
  /** Aborted: the iteration ends. */
  readonly signal?: AbortSignal;
  /** Give what is there, then end. */
  readonly once?: boolean;
  /** From one look to the next where nothing is heard in between; a look that takes long makes it longer. */
  readonly pollMs?: number;
  /** Milliseconds that never run backwards; `performance.now` unless a test has its own. */
  readonly clock?: () => number;
}

/** Part of the time that listing may take: a folder on a slow share is looked at less often. */
const MOST_BUSY = 0.25;
/** `once` does not wait longer for files that someone is still writing. */
const ONCE_LONGEST_MS = 10_000;

/**
 * Follows a folder that a tether program, a card reader or a wireless receiver fills, by looking at it again and again:
 * that works on network shares too. Gives each frame once, when it is complete; goes on when the folder vanishes, comes
 * back, or holds what cannot be read. Files are only read, links not followed.
 *
 * @throws SamescaleError when the folder cannot be looked into at the start; later that is an event
 */
export async function* followFolder(
  folder: string,
  { signal = new AbortController().signal, once = false, pollMs = 200, clock }: FollowOptions = {},
): AsyncGenerator<FolderEvent> {
  const now = clock ?? (() => performance.now());
  const root = resolve(folder);
  await mustBeFolder(root);
  const follower = new Follower(root, now, { once });
  const hints = new Hints();
  const startMs = now();
  try {
    while (!signal.aborted) {
      for await (const event of follower.look(hints)) {
        yield event;
        if (signal.aborted) return;
      }
      if (once && (follower.isDone || now() - startMs > ONCE_LONGEST_MS)) {
        yield* follower.leftOver();
        return;
      }
      await hints.wait(Math.max(Math.min(pollMs, follower.dueInMs), follower.listedInMs / MOST_BUSY), signal);
    }
  } finally {
    hints.close();
  }
}

async function mustBeFolder(root: string): Promise<void> {
  try {
    if ((await stat(root)).isDirectory()) {
      await listFolder(root);
      return;
    }
  } catch (thrown) {
    throw asSamescaleError(thrown, root);
  }
  throw new SamescaleError(
    "WATCH_NOT_A_FOLDER",
    `Expected a folder to follow, this is a file: ${root}`,
    "Name the folder into which the pictures come.",
  );
}
