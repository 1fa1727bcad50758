import { createHash } from "node:crypto";
import { SamescaleError } from "@samescale/errors";
import { canonicalJson, type Json } from "../custody/canonical.ts";
import type { Head } from "../custody/chain.ts";
import { decrypted, encrypted } from "./cipher.ts";
import type { Ref } from "./pieces.ts";
import type { BackupPlace } from "./place.ts";

/** What belongs to one backup. */
export interface Manifest {
  readonly form: "samescale-backup-note/1";
  /** ISO 8601 in UTC. */
  readonly madeAt: string;
  readonly library: string;
  /** Where the custody log stood at the moment that the backup shows. */
  readonly head: Head;
  /** Rows in the order of their keys, as lines of canonical JSON. */
  readonly tables: Readonly<Record<string, Lines>>;
  /** Lines of `Stored`, in the order of their rows. */
  readonly originals: Lines;
  readonly derived: Lines;
  /** The practice's own files, and the signing keys where they were asked for. */
  readonly files: readonly FileRef[];
  /** What could not be copied, a sentence each. */
  readonly faults: readonly string[];
}

export interface Lines {
  readonly count: number;
  readonly pieces: readonly Ref[];
}

/** A line of the lists of originals and of derived pictures. */
export interface Stored extends Ref {
  readonly bytes: number;
  /** Id of the derived picture; an original's row is named by its hash. */
  readonly row?: string;
}

/** The lists are in the order of these. */
export const rowOf = (line: Pick<Stored, "row" | "sha256">): string => line.row ?? line.sha256;

export interface FileRef extends Ref {
  /** Below the library's folder, with `/`. */
  readonly path: string;
  readonly bytes: number;
}

/** Lists that a run has finished before it was killed; the next run need not look at their files again. */
export interface Unfinished {
  readonly originals: readonly Ref[];
  readonly derived: readonly Ref[];
}

const FOLDER = "backups";
const UNFINISHED = "unfinished.note";

export const backupNames = async ({ notes }: Pick<BackupPlace, "notes">): Promise<string[]> =>
  (await notes.list(FOLDER)).filter((name) => NAME.test(name));

const NAME = /^\d{8}T\d{6}Z-[0-9a-f]{8}$/;

/** Writes the note of a finished backup: with it the backup begins to exist. Returns its name. */
export async function writeManifest(place: BackupPlace, manifest: Manifest): Promise<string> {
  const bytes = Buffer.from(`${canonicalJson(manifest as unknown as Json)}\n`);
  const stamp = manifest.madeAt.replace(/[-:]|\.\d+/g, "");
  const name = `${stamp}-${createHash("sha256").update(bytes).digest("hex").slice(0, 8)}`;
  await place.notes.write(`${FOLDER}/${name}`, await sealed(place, bytes));
  return name;
}

/** @throws SamescaleError BACKUP_MISSING, BACKUP_DAMAGED, BACKUP_UNREADABLE */
export async function readManifest(place: BackupPlace, name: string): Promise<Manifest> {
  const bytes = NAME.test(name) ? await place.notes.read(`${FOLDER}/${name}`) : null;
  if (bytes === null) {
    throw new SamescaleError(
      "BACKUP_MISSING",
      `${place.name} has no backup ${name}`,
      "See which there are: samescale backup --list PLACE.",
    );
  }
  const manifest = JSON.parse(await unsealed(place, name, bytes)) as Manifest;
  if (manifest.form === "samescale-backup-note/1" && manifest.library === place.library) return manifest;
  throw new SamescaleError(
    "BACKUP_UNREADABLE",
    `The note of the backup ${name} is of another form or of another library`,
    "Take the version of Samescale that made it, or an older backup.",
  );
}

export async function writeUnfinished(place: BackupPlace, unfinished: Unfinished): Promise<void> {
  const bytes = Buffer.from(canonicalJson(unfinished as unknown as Json));
  await place.notes.write(UNFINISHED, await sealed(place, bytes));
}

/** Only saves time: what cannot be read is as good as nothing. */
export async function readUnfinished(place: BackupPlace): Promise<Unfinished> {
  const bytes = await place.notes.read(UNFINISHED);
  try {
    if (bytes !== null) return JSON.parse(await unsealed(place, UNFINISHED, bytes)) as Unfinished;
  } catch {} // told by nothing being there
  return { originals: [], derived: [] };
}

async function sealed(place: BackupPlace, bytes: Uint8Array): Promise<Uint8Array> {
  if (place.key === null) return bytes;
  const sha256 = createHash("sha256").update(bytes).digest("hex");
  return whole(encrypted(place.key, sha256, once(bytes)));
}

async function unsealed(place: BackupPlace, name: string, bytes: Uint8Array): Promise<string> {
  if (place.key === null) return Buffer.from(bytes).toString("utf8");
  return (await whole(decrypted(place.key, name, once(bytes)))).toString("utf8");
}

async function whole(source: AsyncIterable<Uint8Array>): Promise<Buffer> {
  const parts: Uint8Array[] = [];
  for await (const part of source) parts.push(part);
  return Buffer.concat(parts);
}

async function* once(bytes: Uint8Array): AsyncGenerator<Uint8Array> {
  yield bytes;
}
