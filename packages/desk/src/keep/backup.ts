import { resolve } from "node:path";
import { SamescaleError } from "@samescale/errors";
import {
  type BackupMade,
  type BackupOptions,
  type BackupProgress,
  type BackupSecret,
  backupNames,
  existingPlace,
  isInStore,
  type Manifest,
  makeBackup,
  type PlaceWanted,
  partsToRead,
  partsToWrite,
  placeFor,
  readManifest,
} from "@samescale/record";
import { type Actor, PHOTOGRAPHERS } from "../act/actor.ts";
import { defineAct } from "../act/define-act.ts";
import type { Outcome } from "../act/outcome.ts";
import type { Desk } from "../desk.ts";
import { cardApartFrom } from "../intake/apart.ts";

export type { BackupMade, BackupProgress, BackupSecret };

/** A folder is made when missing. */
export interface BackupWanted extends BackupOptions, PlaceWanted {
  /** Null: not encrypted, which somebody must have decided. */
  readonly secret: BackupSecret | null;
}

/** The log tells of a backup when it is whole: one that was killed on its way is none, and nothing tells of it. */
const noteBackup = defineAct<BackupMade & { readonly place: string; readonly isEncrypted: boolean }, null>({
  name: "backup.make",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run({ name, place, madeAt, head, isEncrypted, originals, copied, faults }) {
    const told = {
      place,
      madeAt,
      head: head.sequence,
      isEncrypted,
      originals,
      copied,
      faults: faults.length,
    };
    return { value: null, deed: { act: "backup.make", subject: `backup/${name}`, details: told } };
  },
});

/**
 * A backup of the library while it is in use (docs/keep.md). Pictures leave the library's folder, not the department:
 * what is encrypted is for nobody, and what is not lies where the department wants it.
 *
 * @throws SamescaleError BACKUP_* and what the place says; the signal's reason when stopped. The backups before stay.
 */
export async function backUp(
  desk: Desk,
  actor: Actor,
  { secret, ...wanted }: BackupWanted,
): Promise<Outcome<BackupMade>> {
  if (!PHOTOGRAPHERS.includes(actor.role)) {
    return { done: false, reason: `backup.make: not for the role ${actor.role}` };
  }
  const library = desk.library.folder;
  const parts = await partsToWrite(wanted, library);
  try {
    if (!isInStore(wanted)) await apartFromLibrary(resolve(wanted.place), library);
    const place = await placeFor(parts, await identityOf(desk), secret);
    const made = await makeBackup(desk.library, place, wanted);
    const noted = await noteBackup(desk, actor, {
      ...made,
      place: place.name,
      isEncrypted: place.key !== null,
    });
    return noted.done ? { done: true, value: made } : noted;
  } finally {
    parts.close();
  }
}

/**
 * The backups of a place, newest first.
 *
 * @param library folder in which secrets of a store are looked for
 * @throws SamescaleError BACKUP_*
 */
export async function backupsAt(
  wanted: PlaceWanted,
  secret: BackupSecret | null,
  library: string,
): Promise<readonly { readonly name: string; readonly manifest: Manifest }[]> {
  const parts = await partsToRead(wanted, library);
  try {
    const place = await existingPlace(parts, secret);
    const backups = [];
    for (const name of (await backupNames(place)).reverse()) {
      backups.push({ name, manifest: await readManifest(place, name) });
    }
    return backups;
  } finally {
    parts.close();
  }
}

/** The first entry of the log is made with the library and never changes: its hash is the library's name. */
async function identityOf({ library }: Desk): Promise<string> {
  const first = await library.read
    .selectFrom("act")
    .select("hash")
    .where("sequence", "=", 1)
    .executeTakeFirstOrThrow();
  return first.hash;
}

async function apartFromLibrary(place: string, library: string): Promise<void> {
  try {
    await cardApartFrom(place, library);
  } catch (thrown) {
    if ((thrown as { code?: string }).code !== "CARD_AND_LIBRARY_MIXED") throw thrown;
    throw new SamescaleError(
      "BACKUP_IN_LIBRARY",
      `The backup and the library would lie one inside the other: ${place}`,
      "Name a folder elsewhere, best on a disk that is put away afterwards.",
    );
  }
}
