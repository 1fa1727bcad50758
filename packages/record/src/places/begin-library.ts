import { existsSync } from "node:fs";
import { readdir, rename, rm, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { asSamescaleError, SamescaleError } from "@samescale/errors";
import { keepHead, keptHead } from "../custody/head-file.ts";
import { currentHead } from "../custody/log.ts";
import { type LibraryOptions, openLibrary } from "../library.ts";
import { makeFolderDurably, syncFolder } from "../originals/durable.ts";
import type { PlacesAnswered } from "./check-places.ts";
import { PLACES_FILE, placesIn, placesOf, placesText } from "./places.ts";
import { SECRETS_FILE, secretsFor } from "./secrets.ts";

/**
 * Makes a library whose tables or originals are kept elsewhere, or joins the one that is there already from another
 * machine. Both places are asked first; where one does not answer as it must, nothing is made.
 *
 * @param said what places.json shall hold
 * @throws SamescaleError PLACES_INVALID, SECRETS_OPEN, SECRETS_MISSING, SECRETS_UNREADABLE, NOT_A_LIBRARY, and as `openLibrary`
 */
export async function beginLibrary(
  folder: string,
  said: unknown,
  options: LibraryOptions = {},
): Promise<PlacesAnswered> {
  const places = placesIn(said);
  try {
    await mustBeNew(folder);
    const { checkPlaces } = await import("./check-places.ts"); // brings the drivers of server and store
    const answered = await checkPlaces(places, await secretsFor(folder, process.env));
    await makeFolderDurably(folder);
    const file = join(folder, PLACES_FILE);
    await writeFile(`${file}.new`, placesText(places), { mode: 0o600, flush: true });
    await rename(`${file}.new`, file);
    await syncFolder(folder);
    try {
      await makeOrJoin(folder, options);
    } catch (thrown) {
      await rm(file); // the folder is again what it was
      throw thrown;
    }
    return answered;
  } catch (thrown) {
    throw asSamescaleError(thrown, folder);
  }
}

/** What the places of a library answer now; null: all of it is in its folder. */
export async function checkLibraryPlaces(folder: string): Promise<PlacesAnswered | null> {
  const places = await placesOf(folder);
  if (places === null) return null;
  const { checkPlaces } = await import("./check-places.ts");
  return checkPlaces(places, await secretsFor(folder, process.env));
}

/** Who joins keeps the head from here on: what came before is proved by the log, not by this folder. */
async function makeOrJoin(folder: string, options: LibraryOptions): Promise<void> {
  const library = await openLibrary(folder, { ...options, mode: "make" });
  try {
    if ((await keptHead(folder)) === null) await keepHead(folder, await currentHead(library.read));
  } finally {
    await library.close();
  }
}

async function mustBeNew(folder: string): Promise<void> {
  if (!existsSync(folder)) return;
  const others = (await readdir(folder)).filter((name) => name !== SECRETS_FILE);
  if (others.length === 0) return;
  throw new SamescaleError(
    "NOT_A_LIBRARY",
    `${folder} is not empty: a library can only be begun in a new folder`,
    "Name a folder that does not exist yet, or one that holds nothing but the secrets file.",
  );
}
