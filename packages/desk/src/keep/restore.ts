import { resolve } from "node:path";
import { SamescaleError } from "@samescale/errors";
import {
  type BackupPlace,
  type BackupSecret,
  backupNames,
  existingPlace,
  headText,
  openLibrary,
  type PlaceWanted,
  partsToRead,
  type Restored,
  type RestoreOptions,
  type RestoreProgress,
  restoreLibrary,
  type VerifyCounts,
  verifyLibrary,
} from "@samescale/record";
import { type Actor, actorText } from "../act/actor.ts";

export type { RestoreProgress };

export interface RestoreWanted extends RestoreOptions, PlaceWanted {
  readonly secret: BackupSecret | null;
  /** Name of a backup; null: the newest. */
  readonly backup: string | null;
  /** Nothing may be there. */
  readonly folder: string;
  readonly clock?: () => Date;
  readonly onVerify?: (done: { readonly originals: number; readonly of: number }) => void;
}

export interface RestoredAndProved extends Restored {
  readonly verified: VerifyCounts;
}

/**
 * Puts a library back and proves it: everything is read again and hashed, the log is checked from its first entry, and
 * its head is compared with the backup's. The restored log then tells of it. Nobody can be asked for a role: the
 * people are in the library that is being put back; who holds the backup and its key may.
 *
 * @throws SamescaleError BACKUP_*, RESTORE_PLACE_TAKEN; the signal's reason when stopped
 */
export async function restore(actor: Actor, wanted: RestoreWanted): Promise<RestoredAndProved> {
  const folder = resolve(wanted.folder);
  const parts = await partsToRead(wanted, folder);
  try {
    return await restoreFrom(await existingPlace(parts, wanted.secret), folder, actor, wanted);
  } finally {
    parts.close();
  }
}

async function restoreFrom(
  place: BackupPlace,
  folder: string,
  actor: Actor,
  wanted: RestoreWanted,
): Promise<RestoredAndProved> {
  const backup = wanted.backup ?? (await backupNames(place)).at(-1);
  if (backup === undefined) {
    throw new SamescaleError(
      "BACKUP_MISSING",
      `${place.name} has no finished backup`,
      "The first one was stopped or killed before its end; look for another place.",
    );
  }
  const restored = await restoreLibrary(place, backup, folder, wanted);
  const library = await openLibrary(folder, {
    mode: "open",
    ...(wanted.clock ? { clock: wanted.clock } : {}),
  });
  try {
    const faults = [...restored.faults];
    const checking = verifyLibrary(library, {
      kept: restored.head,
      ...(wanted.signal ? { signal: wanted.signal } : {}),
      ...(wanted.onVerify ? { onProgress: wanted.onVerify } : {}),
    });
    let next = await checking.next();
    for (; !next.done; next = await checking.next()) {
      faults.push(`${next.value.where} ${next.value.subject}: ${next.value.fault}`);
    }
    const verified = next.value;
    if (headText(verified.head) !== headText(restored.head)) {
      faults.push(`log: its head is ${headText(verified.head)}, the backup says ${headText(restored.head)}`);
    }
    const details = { place: place.name, head: headText(restored.head), faults: faults.length };
    await library.write(actorText(actor), async () => ({
      value: null,
      deed: { act: "library.restore", subject: `backup/${backup}`, details },
    }));
    return { ...restored, faults, verified };
  } finally {
    await library.close();
  }
}
