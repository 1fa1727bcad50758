import { constants } from "node:fs";
import { open, realpath, stat } from "node:fs/promises";
import { join, resolve } from "node:path";
import { SamescaleError } from "@samescale/errors";
import { type Library, type Originals, openOriginalsFolder } from "@samescale/record";
import { cardApartFrom } from "./apart.ts";

/** The folder of the second copies, open for one intake. */
export interface SecondStore {
  /** As the practice writes it, and as the rows of the copies name it. */
  readonly place: string;
  readonly files: Originals;
  /** Lies on the disk of the library: one broken disk would take both. */
  readonly onSameDisk: boolean;
}

const MARK = "samescale-second-copy.txt";
const MARK_TEXT =
  "Second copies of camera files, each named by its SHA-256, below originals/. Written by samescale take-in.\n" +
  "This file tells that the right disk is connected: leave it here.\n";

/**
 * Opens the second place. The folder itself is never made: where a disk is not connected, a folder made in its stead
 * would lie on the library's own disk. What was used before is known again by a file in it.
 *
 * @param place the practice's text; a relative path counts from the library
 * @throws SamescaleError SECOND_PLACE_MISSING, SECOND_PLACE_IN_LIBRARY, SECOND_PLACE_CHANGED, and what the disk says
 */
export async function openSecondStore(library: Library, place: string): Promise<SecondStore> {
  const folder = resolve(library.folder, place);
  const found = await stat(folder).catch(() => null);
  if (!found?.isDirectory()) {
    throw new SamescaleError(
      "SECOND_PLACE_MISSING",
      `The second place is not there: ${folder}`,
      "Connect its disk. For a new place make the folder once by hand, or name another one under secondPlace in department.yaml.",
    );
  }
  await apartFromLibrary(folder, library.folder);
  await checkMark(library, place, folder);
  const files = await openOriginalsFolder(join(folder, "originals"));
  await files.sweep();
  return { place, files, onSameDisk: found.dev === (await stat(library.folder)).dev };
}

async function apartFromLibrary(folder: string, library: string): Promise<void> {
  const path = await realpath(folder);
  try {
    await cardApartFrom(path, library);
  } catch (thrown) {
    if ((thrown as { code?: string }).code !== "CARD_AND_LIBRARY_MIXED") throw thrown;
    throw new SamescaleError(
      "SECOND_PLACE_IN_LIBRARY",
      `The second place and the library lie one inside the other: ${folder}`,
      "Name a folder beside the library, best on another disk, under secondPlace in department.yaml.",
    );
  }
}

async function checkMark({ read }: Library, place: string, folder: string): Promise<void> {
  const mark = join(folder, MARK);
  if ((await stat(mark).catch(() => null)) !== null) return;
  const used = await read.selectFrom("copy").select("id").where("place", "=", place).executeTakeFirst();
  if (used !== undefined) {
    throw new SamescaleError(
      "SECOND_PLACE_CHANGED",
      `Copies went to ${folder} before, and its file ${MARK} is not there now`,
      `Connect the right disk. If this is a new disk on purpose, copy the old place's files and its ${MARK} to it.`,
    );
  }
  const handle = await open(mark, constants.O_CREAT | constants.O_WRONLY, 0o644);
  try {
    await handle.writeFile(MARK_TEXT);
    await handle.sync();
  } finally {
    await handle.close();
  }
}

/**
 * Makes sure that the second place holds this original whole: what is there is read and compared, what is not there
 * is copied from the library, read back and compared.
 *
 * @throws SamescaleError COPY_DAMAGED, and what `put` throws
 */
export async function copyTo(
  store: SecondStore,
  originals: Originals,
  sha256: string,
  signal: AbortSignal | undefined,
): Promise<"stored" | "already"> {
  const found = await store.files.rehash(sha256, signal);
  if (found === sha256) return "already";
  if (found !== null) {
    throw new SamescaleError(
      "COPY_DAMAGED",
      `The second copy is damaged: ${await store.files.localFile(sha256)} has the SHA-256 ${found}`,
      "Move the damaged file away and take the card in again: a good copy is made from the library's.",
    );
  }
  const source = { name: sha256, read: () => originals.open(sha256) };
  const put = await store.files.put(source, signal ? { signal } : {});
  if (put.state === "unreadable") throw put.error;
  if (put.sha256 === sha256) return put.state;
  throw new SamescaleError(
    "ORIGINAL_DAMAGED",
    `The library's own copy of this file is damaged: it should have the SHA-256 ${sha256} and has ${put.sha256}`,
    "Keep the card, it holds a good copy. Move the damaged file away and take the card in again.",
  );
}
