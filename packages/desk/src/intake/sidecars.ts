import { basename } from "node:path";
import { headOf } from "./card-source.ts";
import { nameOfExposure } from "./group-files.ts";
import { type Recognised, recognise } from "./recognise.ts";
import type { CardEntry } from "./walk-card.ts";

/** What else on the card has the name of a file. */
export type NamedAlike = (path: string) => readonly CardEntry[];

/**
 * Files of one name in one folder belong together, whatever they are: settings, a sound, a small picture of a video
 * (`A.XMP`, also written `A.JPG.XMP`, beside `A.JPG`).
 *
 * @source DCF (files of one number in a folder are one object)
 */
export function namedAlike(entries: readonly CardEntry[]): NamedAlike {
  const files = entries.filter((entry) => entry.kind === "file");
  const byName = Map.groupBy(files, (entry) => nameOfExposure(entry.path));
  const byPath = Map.groupBy(files, (entry) => entry.path.toLowerCase());
  return (path) => {
    const name = nameOfExposure(path);
    return [...(byName.get(name) ?? []), ...(byPath.get(name) ?? [])].filter((entry) => entry.path !== path);
  };
}

/** A camera's small picture of a video is a JPEG by content and no frame of its own. */
const isThumbnailName = (path: string) => /\.thm$/i.test(path);

/** Whether a file belongs to a picture or video of its name and is none itself. */
export async function isSidecar(path: string, what: Recognised, alike: NamedAlike): Promise<boolean> {
  const mayBe = what.kind === "other" ? !what.empty : what.kind === "picture" && isThumbnailName(path);
  if (!mayBe) return false;
  for (const entry of alike(path)) {
    if (isThumbnailName(entry.path)) continue;
    const head = await headOf(entry).catch(() => null); // its own line tells why it cannot be read
    if (head !== null && recognise(head, basename(entry.path)).kind !== "other") return true;
  }
  return false;
}

/** What a sidecar's name says it is, for people; its content is never opened. */
export const sidecarFormat = (path: string): string =>
  /\.([a-z0-9]{1,8})$/i.exec(path)?.[1]?.toLowerCase() ?? "unknown";
