import { secondsBetween } from "./camera-clock.ts";

/** A picture file of the card, as far as grouping and ordering need it. */
export interface CardPicture {
  readonly sha256: string;
  /** Relative to the card, with `/`. */
  readonly path: string;
  readonly isRaw: boolean;
  /** Camera's local time; null: unknown. */
  readonly taken: string | null;
}

/** The files of one exposure. */
export interface Exposure<P extends CardPicture> {
  readonly folder: string;
  /** Name without extension. */
  readonly name: string;
  /** The developed picture first, the RAW behind it. */
  readonly files: readonly P[];
  readonly flag: string | null;
}

/** A camera writes both files of an exposure with one time; a second of rounding on each side. */
const SAME_EXPOSURE_S = 2;

/**
 * Puts a RAW and a developed file of the same folder and base name together as one exposure. Two of a kind, or
 * two that were taken at different times, share their name by chance: each stays its own exposure and is flagged.
 */
export function groupFiles<P extends CardPicture>(files: readonly P[]): Exposure<P>[] {
  const byName = new Map<string, P[]>();
  for (const file of files) {
    const key = nameOfExposure(file.path);
    byName.set(key, [...(byName.get(key) ?? []), file]);
  }
  return [...byName.values()].flatMap((group) => {
    const developed = group.filter((file) => !file.isRaw);
    const raw = group.filter((file) => file.isRaw);
    if (group.length === 1) return [exposure(group, null)];
    if (developed.length > 1 || raw.length > 1) return group.map((file) => exposure([file], SAME_NAME));
    const apart = secondsBetween(developed[0]?.taken ?? null, raw[0]?.taken ?? null);
    if (apart !== null && Math.abs(apart) > SAME_EXPOSURE_S) {
      return group.map((file) =>
        exposure([file], `${SAME_NAME}, taken ${Math.round(Math.abs(apart))} s apart`),
      );
    }
    return [exposure([...developed, ...raw], null)];
  });
}

/** What the files of one exposure have in common: folder and base name, whatever their case. */
export const nameOfExposure = (path: string): string => withoutExtension(path).toLowerCase();

const SAME_NAME = "Another file of the same name in its folder is not of the same exposure";

function exposure<P extends CardPicture>(files: readonly P[], flag: string | null): Exposure<P> {
  const path = withoutExtension((files[0] as P).path);
  const slash = path.lastIndexOf("/");
  return { folder: path.slice(0, Math.max(0, slash)), name: path.slice(slash + 1), files, flag };
}

function withoutExtension(path: string): string {
  const dot = path.lastIndexOf(".");
  return dot > path.lastIndexOf("/") + 1 ? path.slice(0, dot) : path;
}
