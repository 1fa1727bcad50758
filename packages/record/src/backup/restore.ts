import { mkdir, open, readdir, rename, rm, writeFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { asSamescaleError, SamescaleError } from "@samescale/errors";
import type { Kysely } from "kysely";
import type { Head } from "../custody/chain.ts";
import { keepHead } from "../custody/head-file.ts";
import { currentHead } from "../custody/log.ts";
import { fillTree } from "../custody/tree/fill.ts";
import { makeFolderDurably, syncFolder } from "../originals/durable.ts";
import { openOriginalsFolder } from "../originals/folder.ts";
import type { Originals } from "../originals/originals.ts";
import { DATABASE_FILE, DERIVED_FOLDER, ORIGINALS_FOLDER } from "../places/open-places.ts";
import { openSqlite } from "../tables/tables.ts";
import { linesOf, linesOfPiece } from "./lines.ts";
import { type FileRef, type Lines, type Manifest, readManifest, type Stored } from "./manifest.ts";
import { isKeyPath, isOwnPath } from "./own-files.ts";
import { openPiece, readPiece } from "./pieces.ts";
import type { BackupPlace } from "./place.ts";
import { KEPT_TABLES } from "./tables.ts";

export interface RestoreOptions {
  readonly signal?: AbortSignal;
  readonly onProgress?: (progress: RestoreProgress) => void;
}

export interface RestoreProgress {
  readonly step: "rows" | "originals" | "derived pictures";
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

/** Says which backup is being put back here; gone when it is whole. */
const MARK = "restoring.txt";

/**
 * Makes the library of a backup anew, in a place where there is nothing. It grows in a folder beside that place, with
 * `.restoring` behind its name, and gets its name at the very end: what has the name is whole. Killed, the same call
 * goes on with the pictures that are there already.
 *
 * @throws SamescaleError RESTORE_PLACE_TAKEN, BACKUP_DAMAGED or BACKUP_INCOMPLETE where the rows cannot be had; single
 *   pictures that cannot be had are faults of the answer
 */
export async function restoreLibrary(
  place: BackupPlace,
  backup: string,
  folder: string,
  options: RestoreOptions = {},
): Promise<Restored> {
  const manifest = await readManifest(place, backup);
  const growing = `${folder.replace(/[/\\]+$/, "")}.restoring`;
  await emptyPlace(folder);
  await begin(growing, backup);
  try {
    const rows = await rowsIn(place, manifest, growing, options);
    const faults: string[] = [];
    const originals = await filesIn(place, manifest.originals, "originals", growing, options, faults);
    const derived = await filesIn(place, manifest.derived, "derived pictures", growing, options, faults);
    for (const file of manifest.files) await ownFileIn(place, file, growing);
    await keepHead(growing, manifest.head);
    await rm(join(growing, MARK));
    await syncFolder(growing);
    await rename(growing, folder);
    await syncFolder(dirname(folder));
    const { madeAt, head } = manifest;
    return { backup, madeAt, head, rows, originals, derived, faults };
  } catch (thrown) {
    if (options.signal?.aborted) throw options.signal.reason;
    throw asSamescaleError(thrown, growing);
  }
}

/** An empty folder is taken out of the way at the end, by the renaming. */
async function emptyPlace(folder: string): Promise<void> {
  const names = await readdir(folder).catch((thrown: NodeJS.ErrnoException) => {
    if (thrown.code === "ENOENT") return [];
    if (thrown.code === "ENOTDIR") return ["a file"];
    throw asSamescaleError(thrown, folder);
  });
  if (names.length > 0) throw taken(folder);
}

async function begin(growing: string, backup: string): Promise<void> {
  const names = await readdir(growing).catch(() => []);
  if (names.length > 0) {
    const mark = await open(join(growing, MARK)).catch(() => null);
    const said = (await mark?.readFile("utf8")) ?? "";
    await mark?.close();
    if (said !== markText(backup)) throw taken(growing);
    // Rows are quickly had again; pictures stay.
    for (const name of names) {
      if (name.startsWith(DATABASE_FILE)) await rm(join(growing, name));
    }
    return;
  }
  await makeFolderDurably(growing);
  await writeFile(join(growing, MARK), markText(backup), { mode: 0o600 });
}

const markText = (backup: string) =>
  `The backup ${backup} is being put back here. It is not a library yet: run the same restore again to go on.\n`;

function taken(folder: string): SamescaleError {
  return new SamescaleError(
    "RESTORE_PLACE_TAKEN",
    `Something lies at ${folder} already; a library is put back only where nothing is`,
    "Name a folder that does not exist. Nothing was changed.",
  );
}

async function rowsIn(
  place: BackupPlace,
  { tables, head }: Manifest,
  folder: string,
  options: RestoreOptions,
): Promise<number> {
  const unknown = Object.keys(tables).filter((table) => !(table in KEPT_TABLES));
  if (unknown.length > 0) {
    throw new SamescaleError(
      "LIBRARY_NEWER",
      `The backup was made by a newer version of Samescale: it has ${unknown.join(", ")}, unknown here`,
      "Install the newer version.",
    );
  }
  const of = Object.values(tables).reduce((sum, { count }) => sum + count, 0);
  const opened = await openSqlite(join(folder, DATABASE_FILE), { readOnly: false });
  let done = 0;
  try {
    for (const table of Object.keys(KEPT_TABLES)) {
      for (const ref of tables[table]?.pieces ?? []) {
        options.signal?.throwIfAborted();
        const rows = await linesOfPiece<Row>(place, ref);
        await opened.db
          .transaction()
          .execute((db) => insertRows(db as unknown as Kysely<Record<string, Row>>, table, rows));
        done += rows.length;
        options.onProgress?.({ step: "rows", done, of, bytes: 0 });
      }
    }
    const found = await currentHead(opened.db);
    if (found.sequence !== head.sequence || found.hash !== head.hash) {
      throw new SamescaleError(
        "BACKUP_INCOMPLETE",
        `The backup's log ends with entry ${found.sequence}, its note says ${head.sequence}:${head.hash}`,
        "Take another copy of the backup, or an older backup.",
      );
    }
    await fillTree(opened.db);
    return done;
  } finally {
    await opened.close();
  }
}

/** As it was written: columns without a value left out. */
type Row = Readonly<Record<string, string | number>>;

/** A statement takes some thousand values at most. */
const VALUES_AT_ONCE = 6000;

async function insertRows(
  db: Kysely<Record<string, Row>>,
  table: string,
  rows: readonly Row[],
): Promise<void> {
  const columns = new Set(rows.flatMap((row) => Object.keys(row)));
  const atOnce = Math.max(1, Math.floor(VALUES_AT_ONCE / Math.max(columns.size, 1)));
  for (let at = 0; at < rows.length; at += atOnce) {
    await db
      .insertInto(table)
      .values(rows.slice(at, at + atOnce))
      .execute();
  }
}

async function filesIn(
  place: BackupPlace,
  list: Lines,
  step: "originals" | "derived pictures",
  folder: string,
  options: RestoreOptions,
  faults: string[],
): Promise<number> {
  const at = join(folder, step === "originals" ? ORIGINALS_FOLDER : DERIVED_FOLDER);
  const store = await openOriginalsFolder(at);
  await store.sweep();
  let done = 0;
  let bytes = 0;
  for await (const line of linesOf<Stored>(place, list.pieces)) {
    options.signal?.throwIfAborted();
    const fault = await fileIn(place, line, store, options.signal);
    if (fault !== null) faults.push(fault);
    else bytes += line.bytes;
    done++;
    options.onProgress?.({ step, done, of: list.count, bytes });
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
  return put.state === "unreadable" ? `${line.row ?? line.sha256}: ${put.error.message}` : null;
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
