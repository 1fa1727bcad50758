import { groupFiles, nameOfExposure } from "../intake/group-files.ts";
import type { FolderEvent, FrameFile } from "./folder-event.ts";

/** A picture file that is complete, with what tells its content from others'. */
export interface CompleteFile {
  readonly key: string;
  readonly mark: string;
  readonly file: FrameFile;
  readonly completeAtMs: number;
  readonly endsWhole: boolean;
}

/** One content of a frame and where it lies: in several places when someone copied it. */
interface Picture {
  readonly isRaw: boolean;
  readonly places: Map<string, FrameFile>;
}

interface Frame {
  readonly id: string;
  readonly name: string;
  readonly givenAtMs: number;
  /** By mark. A content stays known when its last place is gone: it may come back. */
  readonly pictures: Map<string, Picture>;
}

/** The second file of an exposure that was given already is taken for its partner up to this much later. */
const PARTNER_WITHIN_MS = 60_000;

/**
 * What was seen so far, by content: which files are one frame, which are new, which only moved. No files are touched
 * here and no clock is read.
 */
export class KnownFrames {
  readonly #byMark = new Map<string, Frame>();
  readonly #byKey = new Map<string, string>();
  readonly #byName = new Map<string, Frame[]>();
  /** RAW files that wait for their developed picture, by the name of the exposure. */
  readonly #waiting = new Map<string, CompleteFile[]>();
  readonly #missing = new Set<string>();

  /** The content at a place, when it is known. */
  markAt(key: string): string | null {
    return this.#byKey.get(key) ?? null;
  }

  /** A place is not in the listing; it may have been renamed. */
  missing(key: string): void {
    this.#missing.add(key);
  }

  /** It is there again, as it was. */
  present(key: string): void {
    this.#missing.delete(key);
  }

  /** The same file lies under another name now. */
  renamed(from: string, to: string, path: string): FolderEvent[] {
    const mark = this.#byKey.get(from);
    const frame = mark === undefined ? undefined : this.#byMark.get(mark);
    const places = frame?.pictures.get(mark as string)?.places;
    const file = places?.get(from);
    if (!frame || !places || !file) return [];
    const wasShown = places.keys().next().value === from;
    places.delete(from);
    places.set(to, { ...file, path });
    this.#byKey.delete(from);
    this.#byKey.set(to, mark as string);
    this.#missing.delete(from);
    return wasShown ? [filesEvent(frame, "renamed")] : [];
  }

  /** A place is gone for good, or holds something else now. */
  gone(key: string): FolderEvent[] {
    this.#missing.delete(key);
    for (const [name, files] of this.#waiting) {
      const left = files.filter((file) => file.key !== key);
      if (left.length > 0) this.#waiting.set(name, left);
      else this.#waiting.delete(name);
    }
    const mark = this.#byKey.get(key);
    const frame = mark === undefined ? undefined : this.#byMark.get(mark);
    this.#byKey.delete(key);
    const places = frame?.pictures.get(mark as string)?.places;
    if (!frame || !places) return [];
    const wasShown = places.keys().next().value === key;
    places.delete(key);
    if (filesOf(frame).length === 0) return [{ kind: "removed", id: frame.id }];
    if (!wasShown) return [];
    return [filesEvent(frame, places.size > 0 ? "renamed" : "deleted")];
  }

  /** Files of one exposure's name that became complete together. */
  arrived(files: readonly CompleteFile[]): FolderEvent[] {
    const events: FolderEvent[] = [];
    const fresh: CompleteFile[] = [];
    for (const file of files) {
      this.#missing.delete(file.key);
      const before = this.#byKey.get(file.key);
      if (before === file.mark) continue;
      if (before !== undefined) events.push(...this.gone(file.key));
      const frame = this.#byMark.get(file.mark);
      if (frame) events.push(...this.#seenAgain(frame, file));
      else fresh.push(file);
    }
    const first = fresh[0];
    if (!first) return events;
    const name = nameOfExposure(first.key);
    const all = [...(this.#waiting.get(name) ?? []), ...fresh];
    this.#waiting.delete(name);
    for (const exposure of groupFiles(all.map(asCardPicture))) {
      const group = exposure.files.map(({ complete }) => complete);
      const only = group.length === 1 ? group[0] : undefined;
      const partner = only && this.#partnerOf(only, name);
      if (only && partner) {
        this.#add(partner, only);
        events.push(filesEvent(partner, "paired"));
      } else if (only?.file.isRaw) {
        this.#waiting.set(name, [...(this.#waiting.get(name) ?? []), only]);
      } else events.push(...this.#give(group, name));
    }
    return events;
  }

  /**
   * Gives the RAW files that have waited long enough.
   * @param isExpected whether a file of this exposure is still being written
   */
  waitedSince(sinceMs: number, isExpected: (name: string) => boolean): FolderEvent[] {
    const events: FolderEvent[] = [];
    for (const [name, files] of this.#waiting) {
      if (isExpected(name) || files.some(({ completeAtMs }) => completeAtMs > sinceMs)) continue;
      this.#waiting.delete(name);
      for (const file of files) events.push(...this.#give([file], name));
    }
    return events;
  }

  get isWaiting(): boolean {
    return this.#waiting.size > 0;
  }

  #seenAgain(frame: Frame, file: CompleteFile): FolderEvent[] {
    const { places } = frame.pictures.get(file.mark) as Picture;
    const wasThere = places.size > 0;
    const moved = [...places.keys()].filter((key) => this.#missing.has(key));
    for (const key of moved) {
      places.delete(key);
      this.#byKey.delete(key);
      this.#missing.delete(key);
    }
    const copyOf = places.values().next().value;
    this.#add(frame, file);
    if (!wasThere) return [filesEvent(frame, "returned")];
    if (copyOf === undefined) return [filesEvent(frame, "renamed")];
    return [{ kind: "ignored", file: file.file.path, why: `It is the same picture as ${copyOf.path}` }];
  }

  /** A frame given a short while ago that lacks just this kind of file. */
  #partnerOf({ file, completeAtMs }: CompleteFile, name: string): Frame | undefined {
    const fitting = (this.#byName.get(name) ?? []).filter(
      (frame) =>
        completeAtMs - frame.givenAtMs <= PARTNER_WITHIN_MS &&
        filesOf(frame).length > 0 &&
        [...frame.pictures.values()].every(({ isRaw }) => isRaw !== file.isRaw),
    );
    return fitting.length === 1 ? fitting[0] : undefined;
  }

  #give(files: readonly CompleteFile[], name: string): FolderEvent[] {
    const judged = files[0] as CompleteFile;
    const { mark: id, completeAtMs, endsWhole } = judged;
    const same = this.#byMark.get(id);
    if (same) return this.#seenAgain(same, judged);
    const frame: Frame = { id, name, givenAtMs: completeAtMs, pictures: new Map() };
    for (const file of files) this.#add(frame, file);
    this.#byName.set(name, [...(this.#byName.get(name) ?? []), frame]);
    const judgedFile = judged.file.path;
    return [{ kind: "frame", id, files: filesOf(frame), judgedFile, completeAtMs, endsWhole }];
  }

  #add(frame: Frame, { key, mark, file }: CompleteFile): void {
    const picture = frame.pictures.get(mark) ?? { isRaw: file.isRaw, places: new Map() };
    picture.places.set(key, file);
    frame.pictures.set(mark, picture);
    this.#byMark.set(mark, frame);
    this.#byKey.set(key, mark);
  }
}

/** Developed first, each content once, only what is there. */
function filesOf(frame: Frame): FrameFile[] {
  const files = [...frame.pictures.values()].flatMap(({ places }) => places.values().next().value ?? []);
  return files.sort((a, b) => Number(a.isRaw) - Number(b.isRaw));
}

const filesEvent = (
  frame: Frame,
  why: Extract<FolderEvent, { readonly kind: "files" }>["why"],
): FolderEvent => ({ kind: "files", id: frame.id, files: filesOf(frame), why });

const asCardPicture = (complete: CompleteFile) => ({
  sha256: complete.mark,
  path: complete.key,
  kind: "picture" as const,
  isRaw: complete.file.isRaw,
  taken: null,
  complete,
});
