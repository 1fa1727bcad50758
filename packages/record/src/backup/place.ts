import { SamescaleError } from "@samescale/errors";
import { canonicalJson, type Json } from "../custody/canonical.ts";
import type { BackupKey } from "./cipher.ts";
import { type BackupSecret, type Encryption, keyFor, newKey } from "./key.ts";
import type { PlaceParts } from "./parts.ts";
import { README } from "./place-readme.ts";

/** Where backups of one library lie: pieces named by the SHA-256 of their bytes, and a note per backup. */
export interface BackupPlace extends PlaceParts {
  /** Null: its pieces lie there as they are. */
  readonly key: BackupKey | null;
  /** Hash of the first entry of the library whose backups these are. */
  readonly library: string;
}

const FORM = "samescale-backup/1";
const ABOUT = "backup.json";

interface About {
  readonly form: string;
  readonly library: string;
  readonly encryption: Encryption | null;
}

/**
 * The place of a library's backups, begun when nothing is there yet.
 * @param secret null only for a place that is not encrypted
 * @throws SamescaleError BACKUP_OTHER_LIBRARY, BACKUP_SECRET_WRONG, BACKUP_SECRET_MISSING, BACKUP_UNREADABLE
 */
export async function placeFor(
  parts: PlaceParts,
  library: string,
  secret: BackupSecret | null,
): Promise<BackupPlace> {
  const about = await aboutOf(parts);
  if (about === null) {
    const made = secret === null ? null : await newKey(secret);
    const said: About = { form: FORM, library, encryption: made?.encryption ?? null };
    await parts.notes.write("README.txt", Buffer.from(README));
    await parts.notes.write(ABOUT, Buffer.from(`${canonicalJson(said as unknown as Json)}\n`));
    return { ...parts, key: made?.key ?? null, library };
  }
  if (about.library !== library) {
    throw new SamescaleError(
      "BACKUP_OTHER_LIBRARY",
      `${parts.name} holds backups of another library`,
      "Name the place of this library's backups, or a new one.",
    );
  }
  return openedPlace(parts, about, secret);
}

/** A place that must be there. @throws SamescaleError BACKUP_MISSING and those of `placeFor` */
export async function existingPlace(parts: PlaceParts, secret: BackupSecret | null): Promise<BackupPlace> {
  const about = await aboutOf(parts);
  if (about !== null) return openedPlace(parts, about, secret);
  throw new SamescaleError(
    "BACKUP_MISSING",
    `There is no backup at ${parts.name}: its ${ABOUT} is not there`,
    "Check the path, and that the disk with the backup is connected.",
  );
}

async function openedPlace(
  parts: PlaceParts,
  { encryption, library }: About,
  secret: BackupSecret | null,
): Promise<BackupPlace> {
  if (encryption === null) return { ...parts, key: null, library };
  if (secret === null) {
    throw new SamescaleError(
      "BACKUP_SECRET_MISSING",
      `${parts.name} is encrypted with a ${encryption.key.from === "passphrase" ? "passphrase" : "key file"}`,
      "Name it: --passphrase-file FILE or --key-file FILE.",
    );
  }
  return { ...parts, key: await keyFor(encryption, secret), library };
}

async function aboutOf({ notes, name }: PlaceParts): Promise<About | null> {
  const bytes = await notes.read(ABOUT);
  if (bytes === null) return null;
  try {
    const about = JSON.parse(Buffer.from(bytes).toString("utf8")) as About;
    if (about.form === FORM && /^[0-9a-f]{64}$/.test(about.library) && about.encryption !== undefined) {
      return about;
    }
  } catch {} // told below
  throw new SamescaleError(
    "BACKUP_UNREADABLE",
    `${ABOUT} at ${name} is not what this version wrote there`,
    "Take a newer version of Samescale if one made it; else take another copy of the backup.",
  );
}
