import { existsSync } from "node:fs";
import { readdir, realpath, stat } from "node:fs/promises";
import { basename, dirname, isAbsolute, join, relative, resolve } from "node:path";
import { hasAccounts } from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import type { AreaDeps } from "../../deps.ts";

/** A folder that may be a card. */
export interface CardFolder {
  readonly path: string;
  readonly name: string;
  /** It has the folder that cameras make. */
  readonly hasCameraFolder: boolean;
}

export interface CardFolders {
  readonly folders: readonly CardFolder[];
  /** One person at their own machine may name any folder; with accounts only what lies below the allowed ones. */
  readonly anyFolder: boolean;
  /** Below which folders cards may lie; none where any folder may be named. */
  readonly below: readonly string[];
}

/** A folder, how deep below it cards lie, and whether only those with a camera's folder are meant. */
type Root = readonly [folder: string, depth: number, only?: "camera"];

/** Where systems mount cards: the folder itself, and how deep below it they lie. */
const MOUNTS: readonly Root[] = [
  ["/media", 2],
  ["/run/media", 2],
  ["/Volumes", 1],
  ["/mnt", 1, "camera"],
];
const MOST = 100;
/** The folder of the design rule for camera file systems. */
const CAMERA_FOLDER = "DCIM";

type FolderDeps = Pick<AreaDeps, "desk" | "isDemonstration" | "cardFolders">;

/** Folders that are there now and may be cards, those with a camera's folder first. */
export async function cardFolders(deps: FolderDeps): Promise<CardFolders> {
  const anyFolder = !(await hasAccounts(deps.desk.library.read));
  const below = deps.cardFolders ?? [];
  const roots: Root[] = anyFolder ? [...MOUNTS] : below.map((folder) => [folder, 2]);
  if (anyFolder && deps.isDemonstration) {
    roots.unshift([join(dirname(resolve(deps.desk.library.folder)), "cards"), 1]);
  }
  const found = await Promise.all(
    roots.map(async ([folder, depth, only]) => {
      const cards = (await foldersBelow(folder, depth)).map(asCard);
      return only === undefined ? cards : cards.filter(({ hasCameraFolder }) => hasCameraFolder);
    }),
  );
  const folders = found
    .flat()
    .sort((a, b) => Number(b.hasCameraFolder) - Number(a.hasCameraFolder))
    .slice(0, MOST);
  return { folders, anyFolder, below: anyFolder ? [] : below };
}

const asCard = (path: string): CardFolder => ({
  path,
  name: basename(path),
  hasCameraFolder: existsSync(join(path, CAMERA_FOLDER)),
});

async function foldersBelow(folder: string, depth: number): Promise<string[]> {
  if (depth === 0) return [];
  const entries = await readdir(folder, { withFileTypes: true }).catch(() => []);
  const found: string[] = [];
  for (const { name } of entries.filter((entry) => entry.isDirectory() && !entry.name.startsWith("."))) {
    const path = join(folder, name);
    const deeper = existsSync(join(path, CAMERA_FOLDER)) ? [] : await foldersBelow(path, depth - 1);
    found.push(...(deeper.length > 0 ? deeper : [path]));
    if (found.length >= MOST) break;
  }
  return found.sort();
}

/**
 * The folder that a person named, links followed to their end, so that what is checked is what is read; below it no link is
 * followed (`walkCard`). One person at their own machine may name any folder, as with `samescale take-in`; with accounts
 * it has to lie below a folder that whoever started the server allowed, and any other is answered alike, there or not.
 *
 * @throws SamescaleError CARD_NOT_ALLOWED, FIELD_NOT_RIGHT, CARD_MISSING
 */
export async function allowedFolder(deps: FolderDeps, named: string): Promise<string> {
  if (!isAbsolute(named) || named.includes("\0")) {
    throw new SamescaleError(
      "FIELD_NOT_RIGHT",
      "The folder has to be named from the root on",
      "Type it whole, such as /media/card.",
    );
  }
  const path = await realpath(named).catch(() => null);
  if (await hasAccounts(deps.desk.library.read)) {
    const allowed = await Promise.all(
      (deps.cardFolders ?? []).map((folder) => realpath(folder).catch(() => null)),
    );
    if (path === null || !allowed.some((folder) => folder !== null && isBelow(folder, path))) {
      throw new SamescaleError(
        "CARD_NOT_ALLOWED",
        "Cards are not taken in from this folder",
        (deps.cardFolders ?? []).length === 0
          ? "No folder of the server is allowed (samescale serve --card-folder). Drop the card into the page."
          : `They may lie below: ${(deps.cardFolders ?? []).join(", ")}. Or drop the card into the page.`,
      );
    }
  }
  if (path !== null && (await stat(path)).isDirectory()) return path;
  throw new SamescaleError(
    "CARD_MISSING",
    `There is no folder ${named.slice(0, 200)}`,
    "Check that the card is in the reader, and the name.",
  );
}

function isBelow(outer: string, inner: string): boolean {
  const way = relative(outer, inner);
  return way === "" || (way !== ".." && !/^\.\.[/\\]/.test(way) && !isAbsolute(way));
}
