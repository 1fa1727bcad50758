import { readdir, readFile, rename, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { asSamescaleError, SamescaleError } from "@samescale/errors";
import { makeFolderDurably, syncFolder } from "../originals/durable.ts";
import { openStores } from "../places/open-places.ts";
import { PLACES_FILE, type Places, placesText } from "../places/places.ts";
import { secretsFor } from "../places/secrets.ts";

/** Says which backup is being put back here, and to where; gone when it is whole. */
export const MARK = "restoring.txt";

/** Where a restored library is to be. */
export interface Home {
  readonly folder: string;
  /** Null: all of it in the folder. */
  readonly places: Places | null;
}

/**
 * The folder in which a library grows, beside the one that it will be. Begun only where there is nothing, neither in
 * the folder nor in the places; a run that was killed left its mark, and what lies there is its own.
 *
 * @throws SamescaleError RESTORE_PLACE_TAKEN; what the places answer
 */
export async function growingFolder(home: Home, backup: string): Promise<string> {
  const { folder, places } = home;
  const growing = `${folder.replace(/[/\\]+$/, "")}.restoring`;
  // An empty folder is taken out of the way at the end, by the renaming.
  if ((await namesIn(folder)).length > 0) throw taken(folder);
  const mark = markText(home, backup);
  const names = (await namesIn(growing)).filter((name) => name !== `${MARK}.new`);
  if (names.length === 0) {
    if (places !== null) await nothingIn(places, growing);
    await makeFolderDurably(growing);
    await writeNow(join(growing, MARK), mark);
    await syncFolder(growing);
  } else if ((await readFile(join(growing, MARK), "utf8").catch(() => "")) !== mark) {
    throw taken(growing);
  }
  if (places !== null) await writeNow(join(growing, PLACES_FILE), placesText(places));
  return growing;
}

/** @throws SamescaleError RESTORE_PLACE_TAKEN; what the places answer. Nothing stays there of the asking. */
async function nothingIn(places: Places, growing: string): Promise<void> {
  const secrets = await secretsFor(growing, process.env);
  const { checkPlaces } = await import("../places/check-places.ts");
  const { tables } = await checkPlaces(places, secrets);
  if (tables !== null && tables.holds !== "nothing yet") throw taken(tables.name);
  if (places.originals === null) return;
  const { originals, derived, close } = await openStores(growing, places, secrets, { readOnly: true });
  try {
    for (const store of [originals, derived]) {
      for await (const _ of store.list()) throw taken(places.originals.originals);
    }
  } finally {
    close();
  }
}

async function writeNow(path: string, text: string): Promise<void> {
  await writeFile(`${path}.new`, text, { mode: 0o600, flush: true });
  await rename(`${path}.new`, path);
}

async function namesIn(folder: string): Promise<string[]> {
  return readdir(folder).catch((thrown: NodeJS.ErrnoException) => {
    if (thrown.code === "ENOENT") return [];
    if (thrown.code === "ENOTDIR") return ["a file"];
    throw asSamescaleError(thrown, folder);
  });
}

const markText = ({ places }: Home, backup: string) =>
  `The backup ${backup} is being put back here. It is not a library yet: run the same restore again to go on.\n${
    places === null ? "" : placesText(places)
  }`;

export function taken(where: string): SamescaleError {
  return new SamescaleError(
    "RESTORE_PLACE_TAKEN",
    `Something lies at ${where} already; a library is put back only where nothing is`,
    "Name a folder that does not exist; for places elsewhere an empty database and a prefix without pictures. Nothing was changed.",
  );
}
