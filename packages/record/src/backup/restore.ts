import { mkdir, rename, rm, writeFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { asSamescaleError, SamescaleError } from "@samescale/errors";
import type { Head } from "../custody/chain.ts";
import { keepHead } from "../custody/head-file.ts";
import { syncFolder } from "../originals/durable.ts";
import type { Originals } from "../originals/originals.ts";
import { openPlaces } from "../places/open-places.ts";
import { placesIn } from "../places/places.ts";
import { growingFolder, MARK } from "./growing.ts";
import { linesOf } from "./lines.ts";
import { type FileRef, type Lines, type Manifest, readManifest, type Stored } from "./manifest.ts";
import { isKeyPath, isOwnPath } from "./own-files.ts";
import { isOfTheStore, openPiece, readPiece } from "./pieces.ts";
import type { BackupPlace } from "./place.ts";
import { rowsIn, rowsReadable } from "./rows-in.ts";

export interface RestoreOptions {
  readonly signal?: AbortSignal;
  readonly onProgress?: (progress: RestoreProgress) => void;
  /** What `places.json` shall hold: tables or originals that are to be elsewhere than in the folder. */
  readonly places?: unknown;
}

export interface RestoreProgress {
  readonly step: "originals" | "derived pictures" | "rows";
  readonly done: number;
  readonly of: number;
  readonly bytes: number;
}

export interface Restored {
  readonly backup: string;
  readonly madeAt: string;
  readonly head: Head;
  readonly rows: number;
  readonly originals: number;
  readonly derived: number;
  /** What the backup could not give back, a sentence each. */
  readonly faults: readonly string[];
}

/**
 * Makes the library of a backup anew, in a place where there is nothing. It grows in a folder beside that place, with
 * `.restoring` behind its name, and gets its name at the very end: what has the name is whole. Tables, wherever they
 * are, get their rows after the pictures and all at once: until then nobody finds a library there. Killed, the same
 * call goes on with the pictures that are there already.
 *
 * @throws SamescaleError RESTORE_PLACE_TAKEN, BACKUP_DAMAGED or BACKUP_INCOMPLETE where the rows cannot be had, what the
 *   places say; single pictures that cannot be had are faults of the answer
 */
export async function restoreLibrary(
  place: BackupPlace,
  backup: string,
  folder: string,
  options: RestoreOptions = {},
): Promise<Restored> {
  const { signal } = options;
  const places = options.places === undefined ? null : placesIn(options.places);
  const manifest = await readManifest(place, backup);
  const growing = await growingFolder({ folder, places }, backup);
  try {
    await rowsReadable(place, manifest, signal);
    const faults: string[] = [];
    const counts = await libraryIn(place, manifest, growing, options, faults);
    for (const file of manifest.files) await ownFileIn(place, file, growing);
    await keepHead(growing, manifest.head);
    await rm(join(growing, MARK));
    await syncFolder(growing);
    await rename(growing, folder);
    await syncFolder(dirname(folder));
    return { backup, madeAt: manifest.madeAt, head: manifest.head, ...counts, faults };
  } catch (thrown) {
    if (signal?.aborted) throw signal.reason;
    throw asSamescaleError(thrown, growing);
  }
}

async function libraryIn(
  place: BackupPlace,
  manifest: Manifest,
  growing: string,
  options: RestoreOptions,
  faults: string[],
): Promise<Pick<Restored, "rows" | "originals" | "derived">> {
  const { signal, onProgress } = options;
  const { originals, derived, tables, close } = await openPlaces(growing, {
    readOnly: false,
    withoutCopies: true,
  });
  try {
    const files = (step: "originals" | "derived pictures", list: Lines, store: Originals) =>
      filesIn(place, list, store, {
        ...(signal ? { signal } : {}),
        onFile: (done, bytes) => onProgress?.({ step, done, of: list.count, bytes }),
        onFault: (fault) => faults.push(fault),
      });
    return {
      originals: await files("originals", manifest.originals, originals),
      derived: await files("derived pictures", manifest.derived, derived),
      rows: await rowsIn(place, manifest, tables, {
        ...(signal ? { signal } : {}),
        onRows: (done, of) => onProgress?.({ step: "rows", done, of, bytes: 0 }),
      }),
    };
  } finally {
    close();
    await tables.close();
  }
}

interface TellFiles {
  readonly signal?: AbortSignal;
  readonly onFile: (done: number, bytes: number) => void;
  readonly onFault: (fault: string) => void;
}

async function filesIn(place: BackupPlace, list: Lines, store: Originals, tell: TellFiles): Promise<number> {
  await store.sweep();
  let done = 0;
  let bytes = 0;
  for await (const line of linesOf<Stored>(place, list.pieces)) {
    tell.signal?.throwIfAborted();
    const fault = await fileIn(place, line, store, tell.signal);
    if (fault !== null) tell.onFault(fault);
    else bytes += line.bytes;
    tell.onFile(++done, bytes);
  }
  return done;
}

async function fileIn(
  place: BackupPlace,
  line: Stored,
  store: Originals,
  signal: AbortSignal | undefined,
): Promise<string | null> {
  if ((await store.rehash(line.sha256, signal)) === line.sha256) return null; // an earlier run brought it
  const source = { name: line.sha256, read: () => openPiece(place, line) };
  const put = await store.put(source, signal ? { signal } : {});
  if (put.state !== "unreadable") return null;
  if (isOfTheStore(put.error)) throw put.error;
  return `${line.row ?? line.sha256}: ${put.error.message}`;
}

/** Never a path that a note makes up: only below `practice` and `keys`, segment by segment. */
async function ownFileIn(place: BackupPlace, file: FileRef, folder: string): Promise<void> {
  if (!isOwnPath(file.path)) {
    throw new SamescaleError(
      "BACKUP_UNREADABLE",
      `The backup wants to write ${JSON.stringify(file.path.slice(0, 120))}, where none of its files belong`,
      "Somebody made or changed this backup by hand; take another copy of it.",
    );
  }
  const path = join(folder, file.path);
  await mkdir(dirname(path), { recursive: true, mode: 0o700 });
  const bytes = await readPiece(place, file);
  await writeFile(path, bytes, { mode: isKeyPath(file.path) ? 0o600 : 0o644 });
}
