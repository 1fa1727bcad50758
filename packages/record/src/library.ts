import { readdir, readFile, stat, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { asSamescaleError, SamescaleError } from "@samescale/errors";
import type { ReadonlyKysely } from "kysely/readonly";
import type { Json } from "./custody/canonical.ts";
import { keepHead, keptHead } from "./custody/head-file.ts";
import { keyFileFor } from "./custody/heads/key-file.ts";
import { rotateKey, type Signing, signHead } from "./custody/heads/sign.ts";
import type { SignedHead } from "./custody/heads/signed-head.ts";
import { appendEntry, currentHead } from "./custody/log.ts";
import { fillTree } from "./custody/tree/fill.ts";
import { newIdsFrom } from "./ids.ts";
import { README } from "./library-readme.ts";
import { makeFolderDurably } from "./originals/durable.ts";
import type { Originals } from "./originals/originals.ts";
import { DATABASE_FILE, type OpenPlaces, openPlaces } from "./places/open-places.ts";
import { PLACES_FILE } from "./places/places.ts";
import { followAct, touchedRows } from "./search/keep-found.ts";
import { type LibrarySearch, searchOver } from "./search/search.ts";
import type { Schema } from "./tables/schema.ts";
import { type Writing, writingIn } from "./writing.ts";

export interface LibraryOptions {
  readonly clock?: () => Date;
  readonly newId?: () => string;
  /** `make` (default): made when missing. `open`: must be there. `read`: must be there, nothing is written. */
  readonly mode?: "make" | "open" | "read";
  /** The private key that signs heads; without: `$SAMESCALE_KEY`, else `keys/signing-key.pem` in the library. */
  readonly keyFile?: string;
}

/** What the log tells of an act, besides the rows that it wrote. */
export interface Deed {
  readonly act: string;
  readonly subject: string;
  readonly details?: { readonly [key: string]: Json };
}

/** What is kept: tables, originals and the custody log, in one folder or in the places that it names. */
export interface Library {
  readonly folder: string;
  /** What the tables are called in messages: `samescale.db`, or server and database. */
  readonly tablesName: string;
  readonly originals: Originals;
  /** Thumbnails, previews, masked pictures, by their SHA-256: each can be made again from what its row names. */
  readonly derived: Originals;
  readonly read: ReadonlyKysely<Schema>;
  readonly clock: () => Date;
  readonly newId: () => string;
  /** Where the private key that signs heads is looked for. */
  readonly keyFile: string;
  /**
   * One act: everything that `work` writes and the entry that tells of it are committed together, or not at
   * all. Without a deed nothing may have been written. Never nest two: the second would wait for the first.
   */
  write<T>(
    actor: string,
    work: (writing: Writing) => Promise<{ readonly value: T; readonly deed: Deed | null }>,
  ): Promise<T>;
  /**
   * Signs the present head of the custody log; made with a first key when there is none (docs/custody.md).
   * @throws SamescaleError LIBRARY_READ_ONLY, KEY_MISSING, KEY_TOO_OPEN, KEY_UNREADABLE
   */
  signHead(): Promise<SignedHead>;
  /** A new key, endorsed by the one before (`lost`: by nobody), and the present head signed with it. */
  rotateKey(actor: string, because: string, lost: boolean): Promise<SignedHead>;
  /** Finds patients, requests and frames by words and facets. */
  readonly search: LibrarySearch;
  /** What the database engine finds wrong with its own file. */
  engineFaults(): Promise<string[]>;
  close(): Promise<void>;
}

/**
 * Opens a library: a folder with a database, the originals and a text that says what it is, or with a file that says
 * where they are.
 *
 * @throws SamescaleError LIBRARY_MISSING, NOT_A_LIBRARY, LIBRARY_NEWER, LIBRARY_OLDER, LIBRARY_DAMAGED,
 *   LIBRARY_BUSY, FILE_NOT_PERMITTED, DISK_FULL; with places elsewhere also PLACES_INVALID, SECRETS_OPEN,
 *   SECRETS_MISSING, SECRETS_UNREADABLE and TABLES_UNREACHABLE, TABLES_LOGIN_REFUSED, TABLES_NOT_SECURE, TABLES_NOT_PERMITTED
 */
export async function openLibrary(folder: string, options: LibraryOptions = {}): Promise<Library> {
  const mode = options.mode ?? "make";
  try {
    await checkFolder(folder, mode);
    if (mode === "make") await makeFolderDurably(folder);
    const places = await openPlaces(folder, { readOnly: mode === "read" });
    try {
      return await libraryOver(folder, places, mode, options);
    } catch (thrown) {
      await closePlaces(places);
      throw thrown;
    }
  } catch (thrown) {
    throw asSamescaleError(thrown, folder);
  }
}

async function closePlaces({ tables, close }: OpenPlaces): Promise<void> {
  close();
  await tables.close();
}

async function libraryOver(
  folder: string,
  places: OpenPlaces,
  mode: "make" | "open" | "read",
  options: LibraryOptions,
): Promise<Library> {
  const clock = options.clock ?? (() => new Date());
  const { tables, tablesName, originals, derived } = places;
  const signing = (): Signing => {
    if (mode === "read") throw readOnly(folder);
    return { db: tables.db, clock, write: library.write, keyFile: library.keyFile };
  };
  const library: Library = {
    folder,
    tablesName,
    originals,
    derived,
    read: tables.db as unknown as ReadonlyKysely<Schema>,
    clock,
    newId: options.newId ?? newIdsFrom(clock),
    keyFile: keyFileFor(folder, options.keyFile),
    async write(actor, work) {
      const done = await tables.db.transaction().execute(async (transaction) => {
        const { writing, seals } = writingIn(transaction);
        const { value, deed } = await work(writing);
        const rows = await seals();
        if (deed !== null) {
          const { act, subject } = deed;
          const details = { ...deed.details, rows };
          const entry = { time: clock().toISOString(), actor, act, subject, details };
          const head = await appendEntry(transaction, entry);
          await followAct(transaction, tables.words, head.sequence, touchedRows(rows));
          return { value, head };
        }
        if (Object.keys(rows).length === 0) return { value, head: null };
        throw new SamescaleError(
          "ACT_NOT_LOGGED",
          "An act changed rows and told nothing",
          "Please report it.",
        );
      });
      if (done.head !== null) await keepHead(folder, done.head);
      return done.value;
    },
    signHead: async () => signHead(signing()),
    rotateKey: async (actor, because, lost) => rotateKey(signing(), actor, because, lost),
    search: searchOver(tables.db, tables.words, mode !== "read"),
    engineFaults: tables.engineFaults,
    close: () => closePlaces(places),
  };
  if (mode !== "read") {
    await fillTree(tables.db);
    await finishMaking(library);
  }
  return library;
}

/** First entry and README; done again when a first run was killed before it came to them. */
async function finishMaking(library: Library): Promise<void> {
  const head = await currentHead(library.read);
  if (head.sequence === 0) {
    await library.write("samescale", async ({ tables }) => {
      const made = (await currentHead(tables)).sequence > 0;
      const deed = { act: "library.make", subject: `library/${library.newId()}` };
      return { value: null, deed: made ? null : deed };
    });
  } else if (head.sequence === 1 && (await keptHead(library.folder)) === null) {
    await keepHead(library.folder, head); // killed after the first entry was committed
  }
  const readme = join(library.folder, "README.txt");
  if ((await readFile(readme, "utf8").catch(() => null)) !== README) await writeFile(readme, README);
}

async function checkFolder(folder: string, mode: "make" | "open" | "read"): Promise<void> {
  let names: string[];
  try {
    if (!(await stat(folder)).isDirectory()) throw notALibrary(folder, "it is a file");
    names = await readdir(folder);
  } catch (thrown) {
    if ((thrown as NodeJS.ErrnoException).code !== "ENOENT") throw thrown;
    if (mode === "make") return;
    throw new SamescaleError(
      "LIBRARY_MISSING",
      `There is no library at ${folder}`,
      "Check the path, or take a card in to make one.",
    );
  }
  if (names.includes(DATABASE_FILE) || names.includes(PLACES_FILE)) return;
  if (names.length > 0) throw notALibrary(folder, `it holds other things and no ${DATABASE_FILE}`);
  if (mode !== "make") throw notALibrary(folder, "it is empty");
}

function readOnly(folder: string): SamescaleError {
  return new SamescaleError(
    "LIBRARY_READ_ONLY",
    `${folder} was opened for reading only: nothing can be signed`,
    "Sign with `samescale custody sign`, as a user who may write to the library.",
  );
}

function notALibrary(folder: string, why: string): SamescaleError {
  return new SamescaleError(
    "NOT_A_LIBRARY",
    `${folder} is not a library: ${why}`,
    "Name the folder of a Samescale library, or a folder that does not exist yet.",
  );
}
