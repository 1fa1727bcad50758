import { readdir, realpath, stat } from "node:fs/promises";
import { basename, dirname, isAbsolute, join, relative, resolve, sep } from "node:path";
import { hasAccounts } from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import type { Deps } from "../deps.ts";

/** A folder in which frames may arrive. */
export interface ArrivalChoice {
  readonly path: string;
  readonly name: string;
}

export interface ArrivalFolders {
  readonly folders: readonly ArrivalChoice[];
  /** One person at their own machine may name any folder. */
  readonly anyFolder: boolean;
}

type FolderDeps = Pick<Deps, "desk" | "practice" | "isDemonstration">;

const MOST = 200;

/** The folders that the practice names, and those one below them: a receiver makes one for each day or camera. */
export async function arrivalFolders(deps: FolderDeps): Promise<ArrivalFolders> {
  const found = await Promise.all(
    (await namedFolders(deps)).map(async ({ name, path }) => {
      const entries = await readdir(path, { withFileTypes: true }).catch(() => null);
      if (entries === null) return [];
      const below = entries
        .filter((entry) => entry.isDirectory() && !entry.name.startsWith("."))
        .map((entry) => ({ path: join(path, entry.name), name: `${name}: ${entry.name}` }));
      return [{ path, name }, ...below.sort((a, b) => b.name.localeCompare(a.name, "en", { numeric: true }))];
    }),
  );
  return { folders: found.flat().slice(0, MOST), anyFolder: await isOnePerson(deps) };
}

/**
 * The folder that a person named, links followed to their end: what is checked is what is watched, and the watch itself
 * follows none. With accounts it has to lie in one that the practice names, and any other is answered alike, there or
 * not. The library's own folder is watched by nobody.
 * @throws SamescaleError ARRIVALS_NOT_ALLOWED, FIELD_NOT_RIGHT
 */
export async function allowedArrivals(deps: FolderDeps, named: string): Promise<string> {
  if (!isAbsolute(named) || named.includes("\0")) {
    throw new SamescaleError(
      "FIELD_NOT_RIGHT",
      "The folder has to be named from the root on",
      "Type it whole, such as /home/photographer/arriving.",
    );
  }
  const isAny = await isOnePerson(deps);
  const real = await realpath(named).catch(() => null);
  const roots = await Promise.all(
    (await namedFolders(deps)).map(({ path }) => realpath(path).catch(() => path)),
  );
  if (real === null || !(isAny || roots.some((root) => isWithin(real, root)))) {
    throw new SamescaleError(
      "ARRIVALS_NOT_ALLOWED",
      isAny ? `There is no folder ${basename(named)} at that place` : "Frames are not watched in that folder",
      isAny
        ? "Look at its name, and whether the disk or share is connected."
        : "Choose one of the folders that the practice names under arrivals.",
    );
  }
  const library = await realpath(deps.desk.library.folder).catch(() => deps.desk.library.folder);
  if (isWithin(real, library) || isWithin(library, real)) {
    throw new SamescaleError(
      "ARRIVALS_NOT_ALLOWED",
      "The library's own folder is not watched",
      "Name the folder into which the camera, the reader or the receiver puts its pictures.",
    );
  }
  if (!(await stat(real)).isDirectory()) {
    throw new SamescaleError(
      "WATCH_NOT_A_FOLDER",
      `Expected a folder to follow, this is a file: ${basename(real)}`,
      "Name the folder into which the pictures come.",
    );
  }
  return real;
}

/** As the practice has them; a relative path counts from the library. The demonstration has its own. */
async function namedFolders({ desk, practice, isDemonstration }: FolderDeps): Promise<ArrivalChoice[]> {
  const library = resolve(desk.library.folder);
  const named = (await practice()).arrivals.map(({ name, path }) => ({ name, path: resolve(library, path) }));
  const ofDemonstration = { name: "Bedside receiver", path: join(dirname(library), "bedside") };
  return isDemonstration && named.length === 0 ? [ofDemonstration] : named;
}

/** Without accounts the server listens to this machine alone. */
const isOnePerson = async ({ desk }: FolderDeps): Promise<boolean> => !(await hasAccounts(desk.library.read));

function isWithin(path: string, root: string): boolean {
  const way = relative(root, path);
  return way === "" || (way !== ".." && !way.startsWith(`..${sep}`) && !isAbsolute(way));
}
