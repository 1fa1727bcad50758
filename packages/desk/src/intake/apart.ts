import { realpath } from "node:fs/promises";
import { basename, dirname, isAbsolute, join, relative, resolve } from "node:path";
import { SamescaleError } from "@samescale/errors";

/**
 * The card's own path, links followed to their end. A card must not hold the library, as it is only read; nor the
 * library the card, as it would take itself in. To be asked before a library is made.
 *
 * @throws SamescaleError CARD_AND_LIBRARY_MIXED; what the system says when there is no such card
 */
export async function cardApartFrom(card: string, libraryFolder: string): Promise<string> {
  const cardPath = await realpath(card);
  const libraryPath = await realPlaceOf(resolve(libraryFolder));
  if (holds(cardPath, libraryPath) || holds(libraryPath, cardPath)) {
    throw new SamescaleError(
      "CARD_AND_LIBRARY_MIXED",
      `One lies inside the other: the card ${card} and the library ${libraryFolder}`,
      "Name the folder of the camera files itself, or choose a library elsewhere.",
    );
  }
  return cardPath;
}

/** Where a folder is, or would be if it were made. */
async function realPlaceOf(path: string): Promise<string> {
  try {
    return await realpath(path);
  } catch (thrown) {
    if ((thrown as NodeJS.ErrnoException).code !== "ENOENT" || dirname(path) === path) throw thrown;
    return join(await realPlaceOf(dirname(path)), basename(path));
  }
}

function holds(outer: string, inner: string): boolean {
  const way = relative(outer, inner);
  return way === "" || (way !== ".." && !/^\.\.[/\\]/.test(way) && !isAbsolute(way));
}
