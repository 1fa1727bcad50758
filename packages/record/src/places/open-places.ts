import { existsSync } from "node:fs";
import { join } from "node:path";
import { SamescaleError } from "@samescale/errors";
import { openOriginalsFolder, originalsFolder } from "../originals/folder.ts";
import type { Originals } from "../originals/originals.ts";
import { type S3Address, s3Place } from "../originals/s3/place.ts";
import { postgresPlace } from "../tables/postgres/place.ts";
import { openPostgres, openSqlite, type Tables } from "../tables/tables.ts";
import { PLACES_FILE, type Places, placesOf } from "./places.ts";
import { type Secrets, secretsFor, storeCredentials } from "./secrets.ts";

export const DATABASE_FILE = "samescale.db";
export const ORIGINALS_FOLDER = "originals";
export const DERIVED_FOLDER = "derived";
export const COPIES_FOLDER = "cache";

export interface Stores {
  readonly originals: Originals;
  readonly derived: Originals;
  close(): void;
}

export interface OpenPlaces extends Stores {
  readonly tables: Tables;
  /** For messages: `samescale.db`, or server and database. */
  readonly tablesName: string;
}

export interface HowOpened {
  readonly readOnly: boolean;
  /** What is put into a store leaves no copy in `cache`: much goes in, and nobody looks at it. */
  readonly withoutCopies?: boolean;
}

/** What a library consists of, wherever its folder says that it is kept. @throws SamescaleError, see `openLibrary` */
export async function openPlaces(folder: string, how: HowOpened): Promise<OpenPlaces> {
  const { readOnly } = how;
  const places = await placesOf(folder);
  if (places !== null) nothingLeftBehind(folder, places);
  const secrets = places === null ? null : await secretsFor(folder, process.env);
  // The database first: by its file another program that begins at the same moment knows the folder as a library.
  const { tables, tablesName } = await openTables(folder, places, secrets, readOnly);
  try {
    return { ...(await openStores(folder, places, secrets, how)), tables, tablesName };
  } catch (thrown) {
    await tables.close();
    throw thrown;
  }
}

async function openTables(
  folder: string,
  places: Places | null,
  secrets: Secrets | null,
  readOnly: boolean,
): Promise<Pick<OpenPlaces, "tables" | "tablesName">> {
  if (places?.tables == null || secrets === null) {
    return { tables: await openSqlite(join(folder, DATABASE_FILE), { readOnly }), tablesName: DATABASE_FILE };
  }
  const tables = await openPostgres(postgresPlace(places.tables, secrets.tablesPassword), { readOnly });
  return { tables, tablesName: tables.name };
}

/** The two stores alone. */
export async function openStores(
  folder: string,
  places: Places | null,
  secrets: Secrets | null,
  { readOnly, withoutCopies }: HowOpened,
): Promise<Stores> {
  if (places?.originals != null && secrets !== null) {
    const maxBytes = withoutCopies === true ? null : places.cacheBytes;
    return s3Stores(join(folder, COPIES_FOLDER), places.originals, secrets, maxBytes);
  }
  const store = (name: string) => {
    const at = join(folder, name);
    return readOnly ? originalsFolder(at) : openOriginalsFolder(at);
  };
  return {
    originals: await store(ORIGINALS_FOLDER),
    derived: await store(DERIVED_FOLDER),
    close() {},
  };
}

/** The SDK is loaded only here: a library in one folder never needs it. */
async function s3Stores(
  copiesFolder: string,
  address: S3Address,
  secrets: Secrets,
  maxBytes: number | null,
): Promise<Stores> {
  const { bucketAt } = await import("../originals/s3/client.ts");
  const { s3Originals } = await import("../originals/s3/store.ts");
  const { localCopiesIn, passingThrough } = await import("../originals/s3/cache.ts");
  const bucket = bucketAt(s3Place(address, storeCredentials(secrets)));
  const copies = maxBytes === null ? passingThrough(copiesFolder) : localCopiesIn(copiesFolder, { maxBytes });
  return {
    originals: s3Originals(bucket, "originals", copies),
    derived: s3Originals(bucket, "derived", copies),
    close: () => bucket.close(),
  };
}

/** A file put beside an older library must not make that library vanish. */
function nothingLeftBehind(folder: string, { tables, originals }: Places): void {
  const left = [
    ...(tables === null ? [] : [DATABASE_FILE]),
    ...(originals === null ? [] : [ORIGINALS_FOLDER, DERIVED_FOLDER]),
  ].find((name) => existsSync(join(folder, name)));
  if (left === undefined) return;
  throw new SamescaleError(
    "PLACES_INVALID",
    `${PLACES_FILE} in ${folder} names another place for what is in ${left} here already`,
    `Take ${PLACES_FILE} away to use what is here; begin a library elsewhere in a new folder.`,
  );
}
