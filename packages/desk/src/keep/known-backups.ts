import { lstat, readdir } from "node:fs/promises";
import { dirname, isAbsolute, normalize } from "node:path";
import { SamescaleError } from "@samescale/errors";
import { type Actor, PHOTOGRAPHERS } from "../act/actor.ts";
import type { Desk } from "../desk.ts";

/** A backup as the log tells of it: it was whole then. */
export interface KnownBackup {
  readonly place: string;
  readonly madeAt: string;
  readonly isEncrypted: boolean;
  readonly originals: number;
  /** Files that could not be copied; 0: it is whole. */
  readonly faults: number;
}

const MOST = 500;

/** Backups that were made of this library, the newest first, for those who make them. */
export async function knownBackups({ library }: Desk, actor: Actor): Promise<readonly KnownBackup[]> {
  if (!PHOTOGRAPHERS.includes(actor.role)) return [];
  const rows = await library.read
    .selectFrom("act")
    .select("details")
    .where("subject", ">=", "backup/")
    .where("subject", "<", "backup0")
    .where("act", "=", "backup.make")
    .orderBy("sequence", "desc")
    .limit(MOST)
    .execute();
  return rows.map(({ details }) => {
    const { place, madeAt, isEncrypted, originals, faults } = JSON.parse(details) as KnownBackup;
    return { place, madeAt, isEncrypted, originals, faults };
  });
}

/**
 * Whether a folder that was typed into a page may hold backups: a whole path, whose parent is there, and that is new,
 * empty, or a place of backups already. Nothing of what lies in it otherwise is said.
 * @throws SamescaleError BACKUP_PLACE
 */
export async function plainBackupFolder(typed: string): Promise<string> {
  const folder = normalize(typed);
  if (!isAbsolute(typed) || folder !== typed.replace(/(.)\/+$/, "$1") || typed.includes("\0")) {
    throw refused("expected a whole path such as /media/backup, without . or ..");
  }
  const found = await lstat(folder).catch(() => null);
  if (found === null) {
    const parent = await lstat(dirname(folder)).catch(() => null);
    if (!parent?.isDirectory()) throw refused("the folder that it would lie in is not there");
    return folder;
  }
  if (!found.isDirectory()) throw refused("it is no folder of its own (a link or a file)");
  const names = await readdir(folder).catch(() => null);
  if (names === null) throw refused("it may not be read");
  if (names.length > 0 && !names.includes("backup.json")) throw refused("other things lie in it");
  return folder;
}

const refused = (why: string) =>
  new SamescaleError(
    "BACKUP_PLACE",
    `Backups cannot be kept there: ${why}`,
    "Name a new folder on a disk of its own, or the place of earlier backups.",
  );
