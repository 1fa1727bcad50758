import { secondsBetween } from "./camera-clock.ts";

/** A file of the card that was taken in, as far as grouping and ordering need it. */
export interface CardPicture {
  readonly sha256: string;
  /** Relative to the card, with `/`. */
  readonly path: string;
  readonly kind: FileKind;
  readonly isRaw: boolean;
  /** Camera's local time; null: unknown. */
  readonly taken: string | null;
}

export type FileKind = "picture" | "video" | "sidecar";

/** The files of one exposure. */
export interface Exposure<P extends CardPicture> {
  readonly folder: string;
  /** Name without extension. */
  readonly name: string;
  /** The developed picture first, the RAW behind it, then a video and sidecars. */
  readonly files: readonly P[];
  readonly flag: string | null;
}

/** A camera writes both files of an exposure with one time; a second of rounding on each side. */
const SAME_EXPOSURE_S = 2;

/**
 * Puts a RAW and a developed file of the same folder and base name together as one exposure. Two of a kind, or
 * two that were taken at different times, share their name by chance: each stays its own exposure and is flagged.
 * A video goes with the picture of its name, else it is an exposure of its own; sidecars go with either.
 */
export function groupFiles<P extends CardPicture>(files: readonly P[]): Exposure<P>[] {
  const exposures = groupPictures(files.filter((file) => file.kind === "picture"));
  const named = new Map<string, Set<Growing<P>>>();
  const remember = (key: string, one: Growing<P>) => named.set(key, (named.get(key) ?? new Set()).add(one));
  const index = (one: Growing<P>) => {
    for (const { path } of one.files) {
      remember(nameOfExposure(path), one);
      remember(path.toLowerCase(), one); // `A.JPG.XMP` is named after the file, not after the exposure
    }
  };
  exposures.forEach(index);
  for (const video of files.filter((file) => file.kind === "video")) {
    const [only, ...others] = named.get(nameOfExposure(video.path)) ?? [];
    if (only && others.length === 0) only.files.push(video);
    else exposures.push(exposure([video], only ? SAME_NAME : null));
    index(exposures.at(-1)!);
  }
  for (const sidecar of files.filter((file) => file.kind === "sidecar")) {
    const [first, ...others] = named.get(nameOfExposure(sidecar.path)) ?? [];
    if (!first) continue; // what it belongs to could not be read this time; it joins when that comes
    first.files.push(sidecar);
    if (others.length > 0) first.flag = [first.flag, SHARED_SIDECAR].filter(Boolean).join(". ");
  }
  return exposures;
}

type Growing<P extends CardPicture> = Exposure<P> & { readonly files: P[]; flag: string | null };

function groupPictures<P extends CardPicture>(pictures: readonly P[]): Growing<P>[] {
  const byName = Map.groupBy(pictures, (file) => nameOfExposure(file.path));
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
const SHARED_SIDECAR = "A sidecar of its name may belong to another exposure of that name";

function exposure<P extends CardPicture>(files: P[], flag: string | null): Growing<P> {
  return { ...folderAndName((files[0] as P).path), files, flag };
}

/** Where a file lies on the card, and its name without extension. */
export function folderAndName(path: string): { readonly folder: string; readonly name: string } {
  const whole = withoutExtension(path);
  const slash = whole.lastIndexOf("/");
  return { folder: whole.slice(0, Math.max(0, slash)), name: whole.slice(slash + 1) };
}

function withoutExtension(path: string): string {
  const dot = path.lastIndexOf(".");
  return dot > path.lastIndexOf("/") + 1 ? path.slice(0, dot) : path;
}
