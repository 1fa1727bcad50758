import { lstat } from "node:fs/promises";
import { join, resolve } from "node:path";
import { SamescaleError } from "@samescale/errors";
import { openOriginalsFolder, originalsFolder } from "../originals/folder.ts";
import type { Originals } from "../originals/originals.ts";
import { type S3Place, type S3Store, s3Place, sayS3Place } from "../originals/s3/place.ts";
import { COPIES_FOLDER } from "../places/open-places.ts";
import { placesOf } from "../places/places.ts";
import { backupCredentials, secretsFor } from "../places/secrets.ts";
import type { Notes } from "./notes.ts";
import { notesFolder } from "./notes-folder.ts";

/** The two parts of a place, wherever they are. */
export interface PlaceParts {
  /** For messages and for the log. */
  readonly name: string;
  readonly pieces: Pick<Originals, "put" | "open" | "has" | "destroy" | "sweep">;
  readonly notes: Notes;
}

export interface PlaceWanted {
  /** A folder, or `s3://BUCKET/PREFIX`. */
  readonly place: string;
  /** How the store of an `s3://` place is reached. */
  readonly store?: S3Store;
}

/** @throws SamescaleError PLACES_INVALID, SECRETS_*, STORE_* of a place in a store; BACKUP_LINK of a folder */
export interface OpenParts extends PlaceParts {
  close(): void;
}

const S3 = /^s3:\/\//;

export const isInStore = ({ place }: PlaceWanted): boolean => S3.test(place);

/**
 * The parts of a place that is only read.
 *
 * @param library folder in which the secrets file is looked for
 */
export async function partsToRead(wanted: PlaceWanted, library: string): Promise<OpenParts> {
  return isInStore(wanted)
    ? partsInS3(await addressOf(wanted, library), library)
    : folderParts(wanted, false);
}

/**
 * The same for a place that the library is backed up to, made when it is a folder that is missing.
 *
 * @throws SamescaleError also BACKUP_IN_LIBRARY
 */
export async function partsToWrite(wanted: PlaceWanted, library: string): Promise<OpenParts> {
  if (!isInStore(wanted)) return folderParts(wanted, true);
  const address = await addressOf(wanted, library);
  await apartFromLibrary(address, library);
  return partsInS3(address, library);
}

async function addressOf({ place, store }: PlaceWanted, library: string): Promise<S3Place> {
  const credentials = backupCredentials(await secretsFor(library, process.env));
  return s3Place({ endpoint: "", ...store, originals: place }, credentials, "place");
}

async function folderParts({ place }: PlaceWanted, make: boolean): Promise<OpenParts> {
  const folder = resolve(place);
  const pieces = join(folder, "pieces");
  const found = await lstat(pieces).catch(() => null);
  if (found !== null && !found.isDirectory()) {
    throw new SamescaleError(
      "BACKUP_LINK",
      `${pieces} is a link or something else than it was made as`,
      "Nothing was read or written there. Find out who put it there, or take another place for the backup.",
    );
  }
  return {
    name: folder,
    pieces: make ? await openOriginalsFolder(pieces) : originalsFolder(pieces),
    notes: notesFolder(folder),
    close() {},
  };
}

/** The SDK is loaded only here. */
async function partsInS3(address: S3Place, library: string): Promise<OpenParts> {
  const { bucketAt } = await import("../originals/s3/client.ts");
  const { s3Originals } = await import("../originals/s3/store.ts");
  const { passingThrough } = await import("../originals/s3/cache.ts");
  const { notesInS3 } = await import("./notes-s3.ts");
  const bucket = bucketAt(address);
  const waiting = passingThrough(join(library, COPIES_FOLDER));
  return {
    name: sayS3Place(address),
    pieces: listedOnce(s3Originals(bucket, "pieces", waiting)),
    notes: notesInS3(bucket),
    close: () => bucket.close(),
  };
}

/** A store is slow to ask for each of many pieces: what is there is listed once, a thousand names at a time. */
function listedOnce(store: Originals): PlaceParts["pieces"] {
  let listing: Promise<Set<string>> | null = null;
  const there = () => {
    listing ??= namesIn(store);
    return listing;
  };
  return {
    open: store.open,
    sweep: store.sweep,
    has: async (sha256) => (await there()).has(sha256),
    async put(source, options) {
      const put = await store.put(source, options);
      if (put.state !== "unreadable") (await there()).add(put.sha256);
      return put;
    },
    async destroy(sha256) {
      (await there()).delete(sha256);
      return store.destroy(sha256);
    },
  };
}

async function namesIn(store: Originals): Promise<Set<string>> {
  const names = new Set<string>();
  for await (const listed of store.list()) if (listed.kind === "original") names.add(listed.sha256);
  return names;
}

async function apartFromLibrary(place: S3Place, library: string): Promise<void> {
  const its = (await placesOf(library))?.originals;
  if (its == null) return;
  const { endpoint, bucket, prefix } = s3Place(its, place);
  const isSame = endpoint === place.endpoint && bucket === place.bucket;
  if (!isSame || !(prefix.startsWith(place.prefix) || place.prefix.startsWith(prefix))) return;
  throw new SamescaleError(
    "BACKUP_IN_LIBRARY",
    `The backup and the library would lie one inside the other: ${sayS3Place(place)}`,
    "Name another bucket, best one that another key opens.",
  );
}
