import { createHash, randomBytes } from "node:crypto";
import { mkdir, open, readdir, readFile, realpath, rm, writeFile } from "node:fs/promises";
import { hostname } from "node:os";
import { dirname, join } from "node:path";
import { asSamescaleError, SamescaleError } from "@samescale/errors";
import { isPlainPath } from "./plain-name.ts";

/** Below the folder of everything released: what is being made and has not left yet. */
const WAITING = ".waiting";
/** Within a waiting place: what gets its names in one step. */
const FILES = "files";

export interface StagedFile {
  /** Within the release's folder. */
  readonly name: string;
  readonly bytes: number;
  readonly sha256: string;
}

/** The place in which the files of one release wait for their names. */
export interface Stage {
  readonly releaseId: string;
  /** The real path of the folder of everything released. */
  readonly released: string;
  readonly filesFolder: string;
  readonly files: readonly StagedFile[];
  /** @throws SamescaleError RELEASE_NAME, DISK_FULL */
  add(name: string, bytes: Uint8Array | AsyncIterable<Uint8Array>): Promise<StagedFile>;
  /** What was made once is read again. */
  once(key: string, make: () => Promise<Uint8Array>): Promise<Uint8Array>;
  /** Removes what waits here; what has its name stays. */
  clear(): Promise<void>;
}

const machine = hostname().replace(/[^a-zA-Z0-9-]/g, "-") || "machine";
const PLACE = /^([0-9A-Za-z]+)\.([a-zA-Z0-9-]+)\.(\d+)\.[0-9a-f]{8}$/;
/** Those of this very process. */
const mine = new Set<string>();

/** @throws SamescaleError as the file system's faults */
export async function openStage(releasedFolder: string, releaseId: string): Promise<Stage> {
  try {
    await mkdir(releasedFolder, { recursive: true, mode: 0o700 });
    const released = await realpath(releasedFolder);
    const place = join(
      released,
      WAITING,
      `${releaseId}.${machine}.${process.pid}.${randomBytes(4).toString("hex")}`,
    );
    mine.add(place);
    await mkdir(join(place, FILES), { recursive: true, mode: 0o700 });
    return stageAt(released, place, releaseId);
  } catch (thrown) {
    throw asSamescaleError(thrown, releasedFolder);
  }
}

function stageAt(released: string, place: string, releaseId: string): Stage {
  const files: StagedFile[] = [];
  const filesFolder = join(place, FILES);
  return {
    releaseId,
    released,
    filesFolder,
    files,
    async add(name, bytes) {
      const taken = files.some((file) => file.name.toLowerCase() === name.toLowerCase());
      if (!isPlainPath(name) || taken) {
        throw new SamescaleError(
          "RELEASE_NAME",
          `A released file cannot have the name ${JSON.stringify(name.slice(0, 200))}${taken ? ", which another has" : ""}`,
          "Please report it; nothing has left.",
        );
      }
      try {
        const path = join(filesFolder, name);
        await mkdir(dirname(path), { recursive: true, mode: 0o700 });
        const file = { name, ...(await writeDurably(path, bytes)) };
        files.push(file);
        return file;
      } catch (thrown) {
        throw asSamescaleError(thrown, name);
      }
    },
    async once(key, make) {
      const path = join(place, key);
      const made = await readFile(path).catch(() => null);
      if (made !== null) return made;
      const bytes = await make();
      try {
        await writeFile(path, bytes, { mode: 0o600 });
      } catch (thrown) {
        throw asSamescaleError(thrown, key);
      }
      return bytes;
    },
    async clear() {
      await rm(place, { recursive: true, force: true });
      mine.delete(place);
    },
  };
}

/** Patients can be seen in it: nobody else of the machine looks in. */
async function writeDurably(path: string, bytes: Uint8Array | AsyncIterable<Uint8Array>) {
  const hash = createHash("sha256");
  let length = 0;
  const handle = await open(path, "wx", 0o600);
  try {
    for await (const piece of bytes instanceof Uint8Array ? [bytes] : bytes) {
      hash.update(piece);
      length += piece.byteLength;
      await handle.writeFile(piece);
    }
    await handle.sync();
  } finally {
    await handle.close();
  }
  return { bytes: length, sha256: hash.digest("hex") };
}

/** A place that a killed run left; those of living runs, and of other machines, which cannot be asked, are left alone. */
export interface Leftover {
  readonly releaseId: string;
  remove(): Promise<void>;
}

export async function leftoversIn(releasedFolder: string): Promise<readonly Leftover[]> {
  const waiting = join(releasedFolder, WAITING);
  const names = await readdir(waiting).catch(() => []);
  return names.sort().flatMap((name) => {
    const [, releaseId, host, pid] = PLACE.exec(name) ?? [];
    const place = join(waiting, name);
    if (releaseId === undefined || host !== machine || mine.has(place) || lives(Number(pid))) return [];
    return [{ releaseId, remove: () => rm(place, { recursive: true, force: true }) }];
  });
}

function lives(pid: number): boolean {
  if (pid === process.pid) return false; // an earlier process of the same number
  try {
    process.kill(pid, 0);
    return true;
  } catch (thrown) {
    return (thrown as NodeJS.ErrnoException).code === "EPERM"; // it lives, but belongs to somebody else
  }
}
