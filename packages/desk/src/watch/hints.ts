import { type FSWatcher, watch } from "node:fs";
import { join } from "node:path";
import { setTimeout as sleep } from "node:timers/promises";

/** What the system says happened in one folder, gathered for a moment, as one write makes many. */
const GATHER_MS = 40;

/**
 * The system's own notices of changes. They only say to look sooner: on network shares there are none, and they may be
 * lost anywhere, so nothing depends on them.
 */
export class Hints {
  readonly #watchers = new Map<string, FSWatcher>();
  #heard = new Set<string>();
  #wake: (() => void) | null = null;

  /** Listens to exactly these folders. */
  listenTo(folders: readonly string[]): void {
    for (const [folder, watcher] of this.#watchers) {
      if (folders.includes(folder)) continue;
      watcher.close();
      this.#watchers.delete(folder);
    }
    for (const folder of folders) {
      if (this.#watchers.has(folder)) continue;
      try {
        const watcher = watch(folder, { persistent: false }, (_, name) => {
          this.#heard.add(name === null ? folder : join(folder, name));
          this.#wake?.();
        });
        // Told too much, no watches left, a folder gone: polling goes on without.
        watcher.on("error", () => watcher.close());
        this.#watchers.set(folder, watcher);
      } catch {
        // As above.
      }
    }
  }

  /** Paths heard of since the last time. */
  take(): ReadonlySet<string> {
    const heard = this.#heard;
    this.#heard = new Set();
    return heard;
  }

  /** Ends after `ms`, soon after a hint, or at once when aborted. */
  async wait(ms: number, signal: AbortSignal): Promise<void> {
    const woken = new AbortController();
    this.#wake = () => woken.abort();
    const until = AbortSignal.any([signal, woken.signal]);
    const heardBefore = this.#heard.size > 0;
    if (!heardBefore) await sleep(ms, undefined, { signal: until }).catch(() => {});
    this.#wake = null;
    if (heardBefore || woken.signal.aborted) {
      await sleep(Math.min(ms, GATHER_MS), undefined, { signal }).catch(() => {});
    }
  }

  close(): void {
    this.listenTo([]);
  }
}
