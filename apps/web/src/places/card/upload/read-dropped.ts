import type { DirectoryDropItem, DropItem } from "react-aria-components";

/** One file with its place on the card. */
export interface DroppedFile {
  /** Below the card's own folder, with `/`. */
  readonly path: string;
  /** Null: the browser could not read it. */
  readonly file: File | null;
}

/** A folder that was dropped, or loose files (`folder` null). */
export interface DroppedCard {
  readonly folder: string | null;
  readonly files: readonly DroppedFile[];
}

/** What was dropped: each folder a card of its own, as label frames open frames of their own card only. */
export async function readDropped(items: readonly DropItem[]): Promise<DroppedCard[]> {
  const loose: DroppedFile[] = [];
  const cards: DroppedCard[] = [];
  for (const item of items) {
    if (item.kind === "directory") {
      const files: DroppedFile[] = [];
      await readFolder(item, "", files);
      cards.push({ folder: item.name, files });
    } else if (item.kind === "file") {
      loose.push({ path: item.name, file: await item.getFile().catch(() => null) });
    }
  }
  return withLoose(cards, loose);
}

async function readFolder(folder: DirectoryDropItem, below: string, files: DroppedFile[]): Promise<void> {
  for await (const entry of folder.getEntries()) {
    const path = below === "" ? entry.name : `${below}/${entry.name}`;
    if (entry.kind === "directory") await readFolder(entry, path, files);
    else files.push({ path, file: await entry.getFile().catch(() => null) });
  }
}

/** What was chosen in the system's own dialog: files of a folder carry their path from it on. */
export function readChosen(list: FileList): DroppedCard[] {
  const loose: DroppedFile[] = [];
  const byFolder = new Map<string, DroppedFile[]>();
  for (const file of list) {
    const [folder, ...rest] = file.webkitRelativePath.split("/");
    if (!folder || rest.length === 0) {
      loose.push({ path: file.name, file });
      continue;
    }
    const files = byFolder.get(folder) ?? [];
    byFolder.set(folder, files);
    files.push({ path: rest.join("/"), file });
  }
  return withLoose(
    [...byFolder].map(([folder, files]) => ({ folder, files })),
    loose,
  );
}

const withLoose = (cards: readonly DroppedCard[], loose: readonly DroppedFile[]): DroppedCard[] =>
  [...cards, ...(loose.length > 0 ? [{ folder: null, files: loose }] : [])].filter(
    ({ files }) => files.length > 0,
  );
