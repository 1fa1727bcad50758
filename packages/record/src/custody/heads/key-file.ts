import { createPrivateKey, generateKeyPairSync, type KeyObject, randomUUID } from "node:crypto";
import { constants, type Stats } from "node:fs";
import { link, lstat, open, rename, rm } from "node:fs/promises";
import { basename, dirname, join } from "node:path";
import { SamescaleError } from "@samescale/errors";
import { makeFolderDurably, syncFolder } from "../../originals/durable.ts";

/** Where the key lies unless `$SAMESCALE_KEY` names a place outside of the library, which is better. */
export const KEYS_FOLDER = "keys";
const KEY_FILE = "signing-key.pem";

/** A key file is 119 bytes; whatever is longer is none. */
const MOST_BYTES = 1000;

export function keyFileFor(library: string, named: string | undefined): string {
  return named || process.env.SAMESCALE_KEY || join(library, KEYS_FOLDER, KEY_FILE);
}

/**
 * The private key of a file, null when there is none. Refused unless it belongs to this user, is a plain file that nobody
 * else may read (0600), in a folder that nobody else may enter (0700).
 *
 * @throws SamescaleError KEY_TOO_OPEN, KEY_UNREADABLE
 */
export async function readKeyFile(file: string): Promise<KeyObject | null> {
  const text = await readStrictly(file);
  if (text === null) return null;
  try {
    const key = createPrivateKey(text);
    if (key.asymmetricKeyType === "ed25519" && pemOf(key) === text) return key;
  } catch {
    // told below, without what the file holds
  }
  throw unreadable(file, "is not an Ed25519 private key as Samescale writes it");
}

/**
 * Makes a key in a new file; null when there is a file already. It gets its name when it is whole, so that neither a
 * program that begins at the same moment nor one after a kill finds half a key.
 */
export async function makeKeyFile(file: string): Promise<KeyObject | null> {
  const folder = dirname(file);
  await makeFolderDurably(folder);
  const { privateKey } = generateKeyPairSync("ed25519");
  const growing = `${file}.${randomUUID()}`;
  const handle = await open(growing, "wx", 0o600);
  try {
    await handle.writeFile(pemOf(privateKey));
    await handle.chmod(0o600);
    await handle.sync();
    // A link, as renaming would replace a key that another program made meanwhile.
    await link(growing, file);
  } catch (thrown) {
    if ((thrown as NodeJS.ErrnoException).code === "EEXIST") return null;
    throw thrown;
  } finally {
    await handle.close();
    await rm(growing, { force: true });
  }
  await syncFolder(folder);
  return privateKey;
}

/** The file beside it in which the next key waits until the log tells of it. */
export const nextKeyFile = (file: string): string => `${file}.next`;

/** Makes the next key, over one that a killed rotation left. */
export async function makeNextKey(file: string): Promise<KeyObject> {
  await rm(nextKeyFile(file), { force: true });
  const key = await makeKeyFile(nextKeyFile(file));
  if (key !== null) return key;
  throw unreadable(nextKeyFile(file), "was made by another program just now");
}

/** The next key takes the place of the key before, which is gone with that: it signs nothing any more. */
export async function takeNextKey(file: string): Promise<void> {
  await rename(nextKeyFile(file), file);
  await syncFolder(dirname(file));
}

const pemOf = (key: KeyObject): string => key.export({ type: "pkcs8", format: "pem" }).toString();

async function readStrictly(file: string): Promise<string | null> {
  let handle: Awaited<ReturnType<typeof open>>;
  try {
    handle = await open(file, constants.O_RDONLY | (constants.O_NOFOLLOW ?? 0));
  } catch (thrown) {
    const { code } = thrown as NodeJS.ErrnoException;
    if (code === "ENOENT") return null;
    if (code === "ELOOP" || code === "EMLINK") throw tooOpen(file, "is a link", "Name the file itself.");
    throw unreadable(file, "may not be read by this user");
  }
  try {
    const found = await handle.stat();
    refuseUnlessStrict(file, found, await lstat(dirname(file)));
    if (found.size > MOST_BYTES) throw unreadable(file, "is too long to be a key");
    return await handle.readFile("utf8");
  } finally {
    await handle.close();
  }
}

function refuseUnlessStrict(file: string, found: Stats, folder: Stats): void {
  if (!found.isFile()) throw tooOpen(file, "is not a plain file", "Name a file that holds the key.");
  if (process.platform === "win32") return; // its rights are not those of a mode
  const me = process.getuid?.();
  if (found.uid !== me) {
    const help = "Sign as the user who owns the key; a key that somebody else can replace signs for him.";
    throw tooOpen(file, "belongs to another user", help);
  }
  if ((found.mode & 0o077) !== 0) {
    throw tooOpen(file, `may be read by others (${modeText(found)})`, `Type: chmod 600 ${file}`);
  }
  const at = dirname(file);
  if (folder.isSymbolicLink()) throw tooOpen(at, "is a link", "Name the folder itself.");
  if (folder.uid !== me && folder.uid !== 0) {
    throw tooOpen(at, "belongs to another user", "Keep the key in a folder of your own.");
  }
  if ((folder.mode & 0o077) !== 0) {
    throw tooOpen(at, `may be entered by others (${modeText(folder)})`, `Type: chmod 700 ${at}`);
  }
}

const modeText = (found: Stats): string => `mode ${(found.mode & 0o777).toString(8).padStart(4, "0")}`;

const tooOpen = (path: string, why: string, help: string) =>
  new SamescaleError("KEY_TOO_OPEN", `The key that signs heads is refused: ${path} ${why}`, help);

const unreadable = (file: string, why: string) =>
  new SamescaleError(
    "KEY_UNREADABLE",
    `The key that signs heads cannot be used: ${file} ${why}`,
    `Restore ${basename(file)} from where it is kept safe, or begin a new key: samescale custody rotate --lost.`,
  );
