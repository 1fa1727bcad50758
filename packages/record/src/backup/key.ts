import { createHmac, randomBytes, scrypt, timingSafeEqual } from "node:crypto";
import { SamescaleError } from "@samescale/errors";
import { type BackupKey, CHUNK_BYTES } from "./cipher.ts";

/** What opens a backup place: words that a person knows, or 32 bytes in a file. */
export type BackupSecret =
  | { readonly from: "passphrase"; readonly text: string }
  | { readonly from: "key-file"; readonly bytes: Uint8Array };

/** How the pieces of a place are encrypted, as its `backup.json` says. */
export interface Encryption {
  readonly cipher: "AES-256-GCM";
  readonly chunkBytes: number;
  readonly key:
    | {
        readonly from: "passphrase";
        readonly kdf: "scrypt";
        readonly N: number;
        readonly r: number;
        readonly p: number;
        readonly salt: string;
      }
    | { readonly from: "key-file" };
  /** Tells a wrong passphrase at once: HMAC-SHA256 of a fixed text. */
  readonly check: string;
}

/** 128 MiB and about half a second for each passphrase that somebody tries. @source RFC7914 for the function */
const COST = { N: 2 ** 17, r: 8, p: 1 };
/** A hostile file must not make the program fill the memory. */
const MOST = { N: 2 ** 20, r: 16, p: 4 };
const SHORTEST_PASSPHRASE = 12;

/** A fresh place's key. @throws SamescaleError BACKUP_SECRET_WEAK */
export async function newKey(secret: BackupSecret): Promise<{ key: BackupKey; encryption: Encryption }> {
  if (secret.from === "key-file") {
    const key = keyOfFile(secret.bytes);
    return { key, encryption: encryptionWith({ from: "key-file" }, key) };
  }
  if ([...secret.text].length < SHORTEST_PASSPHRASE) {
    throw new SamescaleError(
      "BACKUP_SECRET_WEAK",
      `The passphrase has fewer than ${SHORTEST_PASSPHRASE} characters`,
      "Take five or six words that do not belong together, and write them down where the backup does not lie.",
    );
  }
  const salt = randomBytes(32).toString("hex");
  const stated = { from: "passphrase", kdf: "scrypt", ...COST, salt } as const;
  const key = await keyOfPassphrase(secret.text, stated);
  return { key, encryption: encryptionWith(stated, key) };
}

/** The key of a place that is there. @throws SamescaleError BACKUP_SECRET_WRONG, BACKUP_UNREADABLE */
export async function keyFor(encryption: Encryption, secret: BackupSecret): Promise<BackupKey> {
  const stated = encryption.key;
  if (stated.from !== secret.from) {
    throw wrong(`it is encrypted with a ${stated.from === "passphrase" ? "passphrase" : "key file"}`);
  }
  const key =
    secret.from === "key-file"
      ? keyOfFile(secret.bytes)
      : await keyOfPassphrase(secret.text, stated as Exclude<Encryption["key"], { from: "key-file" }>);
  const check = Buffer.from(checkOf(key), "hex");
  const expected = Buffer.from(encryption.check, "hex");
  if (check.length !== expected.length || !timingSafeEqual(check, expected)) {
    throw wrong(`this is not its ${secret.from === "passphrase" ? "passphrase" : "key file"}`);
  }
  return key;
}

const encryptionWith = (key: Encryption["key"], bytes: BackupKey): Encryption => ({
  cipher: "AES-256-GCM",
  chunkBytes: CHUNK_BYTES,
  key,
  check: checkOf(bytes),
});

const checkOf = (key: BackupKey): string =>
  createHmac("sha256", key).update("samescale backup check").digest("hex");

function keyOfPassphrase(
  text: string,
  { N, r, p, salt }: Exclude<Encryption["key"], { from: "key-file" }>,
): Promise<BackupKey> {
  const within = [N, r, p].every(Number.isSafeInteger) && N <= MOST.N && r <= MOST.r && p <= MOST.p;
  if (!within || N < 2 || r < 1 || p < 1 || !/^[0-9a-f]{32,128}$/.test(salt)) {
    throw new SamescaleError(
      "BACKUP_UNREADABLE",
      "backup.json states a cost of scrypt that is out of bounds",
      "Somebody or something changed it; take another copy of the backup.",
    );
  }
  return new Promise((resolve, reject) => {
    const options = { N, r, p, maxmem: 128 * N * r * p + 2 ** 25 };
    // The same letters typed on another keyboard are the same passphrase.
    scrypt(text.normalize("NFC"), Buffer.from(salt, "hex"), 32, options, (error, key) =>
      error ? reject(error) : resolve(key),
    );
  });
}

/** 64 hexadecimal digits, as `openssl rand -hex 32` writes them. */
function keyOfFile(bytes: Uint8Array): BackupKey {
  const text = Buffer.from(bytes).toString("latin1").trim();
  if (/^[0-9a-fA-F]{64}$/.test(text)) return Buffer.from(text, "hex");
  throw wrong("its key file holds 64 hexadecimal digits, and this one does not");
}

function wrong(why: string): SamescaleError {
  return new SamescaleError(
    "BACKUP_SECRET_WRONG",
    `The backup cannot be opened: ${why}`,
    "Look where the passphrase or key file was put away; without it nobody can read this backup, we cannot either.",
  );
}
