import { stat } from "node:fs/promises";
import { reportOf } from "@samescale/errors";
import { nameOfExposure } from "../intake/group-files.ts";
import { contentOf } from "./content.ts";
import type { FolderEvent } from "./folder-event.ts";
import type { Hints } from "./hints.ts";
import { type CompleteFile, KnownFrames } from "./known-frames.ts";
import { type Listing, listFolder } from "./list-folder.ts";
import { type TrackedFile, TrackedFiles } from "./tracked-files.ts";

/** A file that ends as its format says is complete when it has not changed for this long. */
const STILL_MS = 200;
/** So is one without such an end; and what does not look like a picture by then will not become one. */
const LONG_STILL_MS = 3000;
/** A camera that writes two files of an exposure writes the second within about a second. */
const PAIR_WAIT_MS = 1000;
/** A name that is missing for less was renamed, overwritten, or left out by a share under load. */
const GONE_AFTER_MS = 600;
const RETRY_MS = 1000;
/** For so long files are looked into; then it is looked whether something newer came. */
const LOOK_INTO_MS = 300;

/** Looks at a folder, look by look, and tells what happened since the look before. */
export class Follower {
  readonly #root: string;
  readonly #now: () => number;
  readonly #once: boolean;
  readonly #files = new TrackedFiles();
  readonly #frames = new KnownFrames();
  readonly #passedOver = new Set<string>();
  #state: "open" | "gone" | "denied" = "open";
  #device: number | null = null;
  #closed: readonly string[] = [];
  listedInMs = 0;

  constructor(root: string, now: () => number, { once }: { readonly once: boolean }) {
    this.#root = root;
    this.#now = now;
    this.#once = once;
  }

  async *look(hints: Hints): AsyncGenerator<FolderEvent> {
    const startMs = this.#now();
    const { listing, state } = await this.#list();
    if (state !== this.#state) {
      this.#state = state;
      yield { kind: "folder", folder: this.#root, state: state === "open" ? "back" : state };
    }
    if (!listing) return;
    yield* this.#closedFolders(listing);
    hints.listenTo(listing.folders);
    const { appeared, missing, present } = await this.#files.update(listing, hints.take(), startMs);
    this.listedInMs = this.#now() - startMs;
    for (const file of present) this.#frames.present(file.key);
    for (const file of missing) this.#frames.missing(file.key);
    for (const { file, why } of listing.passedOver) {
      if (this.#passedOver.has(file.key)) continue;
      this.#passedOver.add(file.key);
      yield { kind: "ignored", file: file.path, why };
    }
    yield* this.#renamed(appeared);
    yield* this.#lookInto();
    yield* this.#removed();
    yield* this.#frames.waitedSince(this.#now() - (this.#once ? 0 : PAIR_WAIT_MS), (name) =>
      this.#files.unsettled().some(({ key }) => nameOfExposure(key) === name),
    );
  }

  /** Nothing is left to be found out. */
  get isDone(): boolean {
    return !this.#frames.isWaiting && this.#files.unsettled().every(({ said }) => said !== "");
  }

  /** Until a file may be complete. */
  get dueInMs(): number {
    const due = this.#files.unsettled().map((file) => Math.max(file.changedAtMs + STILL_MS, file.retryAtMs));
    return Math.max(10, Math.min(...due) - this.#now());
  }

  /** What will not be waited for. */
  *leftOver(): Generator<FolderEvent> {
    yield* this.#frames.waitedSince(Number.POSITIVE_INFINITY, () => false);
    for (const file of this.#files.unsettled()) {
      yield* this.#ignored(file, "It is still being written");
    }
  }

  async #list(): Promise<{ listing: Listing | null; state: "open" | "gone" | "denied" }> {
    try {
      const { dev } = await stat(this.#root);
      const listing = await listFolder(this.#root);
      // Where a share or a card was mounted, an empty folder of the disk below is left.
      const isOther = this.#device !== null && dev !== this.#device;
      if (isOther && listing.files.length === 0) return { listing: null, state: "gone" };
      this.#device = dev;
      return { listing, state: "open" };
    } catch (fault) {
      const { code } = fault as NodeJS.ErrnoException;
      return { listing: null, state: code === "EACCES" || code === "EPERM" ? "denied" : "gone" };
    }
  }

  *#closedFolders({ closed, folders }: Listing): Generator<FolderEvent> {
    const before = this.#closed;
    this.#closed = closed.map(({ path }) => path);
    for (const folder of this.#closed) {
      if (!before.includes(folder)) yield { kind: "folder", folder, state: "denied" };
    }
    for (const folder of before) {
      if (!this.#closed.includes(folder))
        yield { kind: "folder", folder, state: folders.includes(folder) ? "back" : "gone" };
    }
  }

  /** Where the file system numbers its files, a rename is known without looking into the file. */
  *#renamed(appeared: readonly TrackedFile[]): Generator<FolderEvent> {
    for (const file of appeared) {
      if (file.inode === "") continue;
      for (const before of this.#files.all()) {
        if (before.missingSinceMs === null || before.inode !== file.inode) continue;
        const mark = this.#frames.markAt(before.key);
        const isSame = before.sizeBytes === file.sizeBytes && before.mtimeMs === file.mtimeMs;
        if (mark === null || !isSame) continue;
        file.isSettled = true;
        this.#files.drop(before);
        yield* this.#frames.renamed(before.key, file.key, file.path);
        break;
      }
    }
  }

  /** The newest first, file by file of one exposure together. */
  async *#lookInto(): AsyncGenerator<FolderEvent> {
    const startMs = this.#now();
    const due = this.#files
      .unsettled()
      .filter((file) => startMs - file.changedAtMs >= STILL_MS && startMs >= file.retryAtMs);
    const groups = Map.groupBy(due, ({ key }) => nameOfExposure(key));
    for (const group of [...groups.values()].sort(this.#once ? byName : newestFirst)) {
      const complete: CompleteFile[] = [];
      for (const file of group) {
        const found = await this.#complete(file);
        if (found && "mark" in found) complete.push(found);
        else if (found) yield* found;
      }
      yield* this.#frames.arrived(complete);
      if (this.#now() - startMs > LOOK_INTO_MS) return;
    }
  }

  /** The file as a complete picture; or what is to be said of it; or null: later. */
  async #complete(file: TrackedFile): Promise<CompleteFile | Iterable<FolderEvent> | null> {
    const isLongStill = this.#now() - file.changedAtMs >= LONG_STILL_MS;
    // Looked into again when it has been still for long; a change before then starts anew.
    file.retryAtMs = file.changedAtMs + LONG_STILL_MS;
    try {
      const content = await contentOf(file, file);
      if (content.kind === "changing") {
        file.changedAtMs = this.#now();
        file.retryAtMs = 0;
        return null;
      }
      if (content.kind === "picture") {
        if (!content.endsWhole && !isLongStill) return null;
        file.isSettled = true;
        file.said = "";
        const { key, path, sizeBytes, mtimeMs, changedAtMs } = file;
        const { isRaw, endsWhole, mark } = content;
        const asFrameFile = { path, sizeBytes, mtimeMs, isRaw };
        return { key, mark, file: asFrameFile, completeAtMs: changedAtMs, endsWhole };
      }
      if (!isLongStill) return null;
      file.isSettled = true;
      return [...this.#frames.gone(file.key), ...this.#ignored(file, `It is ${content.what}, not a picture`)];
    } catch (fault) {
      const { code } = fault as NodeJS.ErrnoException;
      if (code === "ENOENT" || code === "ENOTDIR") return null;
      // A program that is still writing may keep others out.
      if (!isLongStill) return null;
      file.retryAtMs = this.#now() + RETRY_MS;
      const error = reportOf(fault, file.path);
      if (file.said === error.code) return null;
      file.said = error.code;
      return [{ kind: "unreadable", file: file.path, error }];
    }
  }

  *#removed(): Generator<FolderEvent> {
    const nowMs = this.#now();
    const unsettled = this.#files.unsettled();
    for (const file of [...this.#files.all()]) {
      if (file.missingSinceMs === null || nowMs - file.missingSinceMs < GONE_AFTER_MS) continue;
      // Perhaps one of these is it, under another name.
      if (unsettled.some(({ sizeBytes, said }) => sizeBytes === file.sizeBytes && said === "")) continue;
      this.#files.drop(file);
      yield* this.#frames.gone(file.key);
    }
  }

  *#ignored(file: TrackedFile, why: string): Generator<FolderEvent> {
    if (file.said === why) return;
    file.said = why;
    yield { kind: "ignored", file: file.path, why };
  }
}

type Group = readonly TrackedFile[];

const newestFirst = ([a]: Group, [b]: Group): number =>
  (b as TrackedFile).changedAtMs - (a as TrackedFile).changedAtMs ||
  (b as TrackedFile).mtimeMs - (a as TrackedFile).mtimeMs ||
  byName([b as TrackedFile], [a as TrackedFile]);

const byName = ([a]: Group, [b]: Group): number =>
  (a as TrackedFile).path.localeCompare((b as TrackedFile).path, "en", { numeric: true });
