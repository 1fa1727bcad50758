import { createHash, randomBytes } from "node:crypto";
import { constants, realpathSync } from "node:fs";
import { mkdir, open, rename, rm } from "node:fs/promises";
import { homedir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { CommandFailure } from "./failure.ts";

/**
 * Where the session of this person with this library is kept between commands: outside of the library, which others read.
 * One file per library, for nobody else's eyes.
 */
export function sessionFile(library: string): string {
  const state = process.env.XDG_STATE_HOME || join(homedir(), ".local", "state");
  const name = createHash("sha256").update(realPath(library)).digest("hex").slice(0, 32);
  return join(state, "samescale", "sessions", name);
}

/** The token that signs this person in; null: none is kept. A file that others can read is refused, as it may be theirs. */
export async function keptToken(library: string): Promise<string | null> {
  const path = sessionFile(library);
  // Not through a link: it could lead to a file that somebody else writes.
  const file = await open(path, constants.O_RDONLY | constants.O_NOFOLLOW).catch((thrown) => {
    if ((thrown as NodeJS.ErrnoException).code === "ENOENT") return null;
    throw notPrivate(path);
  });
  if (file === null) return null;
  try {
    const { mode, uid } = await file.stat();
    const isMine = process.getuid === undefined || uid === process.getuid();
    if (!isMine || (process.getuid !== undefined && (mode & 0o077) !== 0)) throw notPrivate(path);
    const { bytesRead, buffer } = await file.read(Buffer.alloc(100), 0, 100, 0);
    return buffer.toString("latin1", 0, bytesRead).trim();
  } finally {
    await file.close();
  }
}

/** Keeps a token, in the place of the one before. */
export async function keepToken(library: string, token: string): Promise<void> {
  const path = sessionFile(library);
  const waiting = `${path}.${randomBytes(6).toString("hex")}`;
  await mkdir(dirname(path), { recursive: true, mode: 0o700 });
  const file = await open(waiting, "wx", 0o600);
  try {
    await file.writeFile(`${token}\n`);
  } finally {
    await file.close();
  }
  await rename(waiting, path);
}

export const forgetToken = (library: string): Promise<void> => rm(sessionFile(library), { force: true });

/** The same library by whatever way it is named. */
function realPath(library: string): string {
  try {
    return realpathSync(library);
  } catch {
    return resolve(library);
  }
}

const notPrivate = (path: string): CommandFailure =>
  CommandFailure.badArguments(
    `${path}: others can read it, or it is not yours: it is not used to sign in`,
    "Delete it and sign in again: samescale people sign-in NAME.",
  );
