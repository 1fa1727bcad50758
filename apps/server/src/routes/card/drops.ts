import { randomUUID } from "node:crypto";
import { existsSync } from "node:fs";
import { appendFile, mkdir, readdir, readFile, rename, rm, stat, utimes, writeFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { SamescaleError } from "@samescale/errors";
import { safePath } from "./safe-path.ts";
import { refuseWithoutRoom } from "./space.ts";

/** Something dropped into the page: one card, or loose files. As the page declares it before the first byte. */
export interface DropDeclared {
  /** Name of the folder that was dropped; null: loose files. */
  readonly folder: string | null;
  /** Everything in it, also what the browser could not read. */
  readonly files: number;
  readonly bytes: number;
}

export interface Drop extends DropDeclared {
  readonly id: string;
  readonly begunAt: string;
}

/** A dropped file that is wholly here. */
export interface Arrived {
  /** As the browser gave it; `path`: where it waits. */
  readonly given: string;
  readonly path: string;
  readonly bytes: number;
  readonly modifiedMs: number;
  /** As the browser computed it from the card; null: it could not. */
  readonly sha256: string | null;
}

/** A dropped file of which a part is here. */
export interface Begun extends Omit<Arrived, "path"> {
  readonly upload: string;
  readonly offset: number;
}

/** Unfinished drops are removed this long after anything came to them. */
export const KEPT_DAYS = 7;
const DAY_MS = 86_400_000;
const MOST_OPEN = 20;
const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/;

/**
 * The folders in which dropped files wait, `PERSON/DROP`: `drop.json` says what it is, `incoming/` holds uploads that are
 * not whole, `card/NAME/` the files as they lay on the card, `arrived.jsonl` a line for each. All of it on disk, so that a
 * server that was started anew goes on.
 */
export function openDrops(folder: string) {
  const tallies = new Map<string, Promise<Map<string, Arrived>>>();
  const at = (person: string, id: string) => join(folder, personFolder(person), id);

  async function find(person: string, id: string): Promise<Drop> {
    const text = UUID.test(id)
      ? await readFile(join(at(person, id), "drop.json"), "utf8").catch(() => null)
      : null;
    if (text !== null) return JSON.parse(text) as Drop;
    throw new SamescaleError(
      "DROP_UNKNOWN",
      "These dropped files are not here",
      `They were taken in, put away, or lay unfinished for more than ${KEPT_DAYS} days: drop them again.`,
    );
  }

  async function idsOf(person: string): Promise<string[]> {
    const names = await readdir(join(folder, personFolder(person))).catch(() => []);
    return names.filter((name) => UUID.test(name));
  }

  /** What is wholly here, by the path that the browser gave. */
  function arrived(person: string, id: string): Promise<Map<string, Arrived>> {
    const known = tallies.get(at(person, id));
    if (known) return known;
    const read = readArrived(at(person, id));
    tallies.set(at(person, id), read);
    return read;
  }

  const cardOf = (person: string, drop: Drop) =>
    join(at(person, drop.id), "card", safePath(drop.folder ?? "loose files").replaceAll("/", "_"));

  let settling: Promise<void> = Promise.resolve();
  async function settleOne(
    person: string,
    drop: Drop,
    upload: string,
    file: Omit<Arrived, "path">,
  ): Promise<void> {
    const here = await arrived(person, drop.id);
    const card = cardOf(person, drop);
    const path = here.get(file.given)?.path ?? freePath(card, safePath(file.given));
    await mkdir(dirname(join(card, path)), { recursive: true, mode: 0o700 });
    const incoming = join(at(person, drop.id), "incoming", upload);
    const modified = new Date(file.modifiedMs);
    await utimes(incoming, modified, modified);
    await rename(incoming, join(card, path));
    const line: Arrived = { ...file, path };
    await appendFile(join(at(person, drop.id), "arrived.jsonl"), `${JSON.stringify(line)}\n`, {
      mode: 0o600,
    });
    here.set(file.given, line);
    await rm(`${incoming}.json`, { force: true });
  }

  return {
    find,
    arrived,
    at,
    /** The folder to take in. */
    cardOf,

    async all(person: string): Promise<Drop[]> {
      const found = await Promise.all((await idsOf(person)).map((id) => find(person, id).catch(() => null)));
      return found.filter((drop) => drop !== null).sort((a, b) => a.begunAt.localeCompare(b.begunAt));
    },

    async begin(person: string, declared: DropDeclared): Promise<Drop> {
      if ((await idsOf(person)).length >= MOST_OPEN) {
        throw new SamescaleError(
          "TOO_MANY",
          `${MOST_OPEN} cards that you dropped are not taken in yet`,
          "Take them in or put them away first.",
        );
      }
      await mkdir(folder, { recursive: true, mode: 0o700 });
      await refuseWithoutRoom(folder, declared.bytes);
      const drop: Drop = { id: randomUUID(), begunAt: new Date().toISOString(), ...declared };
      await mkdir(join(at(person, drop.id), "incoming"), { recursive: true, mode: 0o700 });
      await writeFile(join(at(person, drop.id), "drop.json"), JSON.stringify(drop), { mode: 0o600 });
      return drop;
    },

    /** Of which files a part is here. */
    async begun(person: string, id: string): Promise<Begun[]> {
      const incoming = join(at(person, id), "incoming");
      const names = (await readdir(incoming).catch(() => [])).filter((name) => UUID.test(name));
      const parts = await Promise.all(names.map((name) => partOf(incoming, name).catch(() => null)));
      return parts.filter((part) => part !== null);
    },

    /** Moves a whole upload to its place on the card. */
    settle(person: string, drop: Drop, upload: string, file: Omit<Arrived, "path">): Promise<void> {
      // One after the other: two names can come to the same safe one.
      const settled = settling.then(() => settleOne(person, drop, upload, file));
      settling = settled.catch(() => {});
      return settled;
    },

    async remove(person: string, id: string): Promise<void> {
      tallies.delete(at(person, id));
      await rm(at(person, id), { recursive: true, force: true });
    },

    /** Removes what nothing came to for days. @returns how many */
    async sweep(nowMs: number): Promise<number> {
      let removed = 0;
      for (const person of await readdir(folder).catch(() => [])) {
        for (const id of await readdir(join(folder, person)).catch(() => [])) {
          if (!UUID.test(id) || nowMs - (await touchedMs(join(folder, person, id))) < KEPT_DAYS * DAY_MS)
            continue;
          tallies.delete(join(folder, person, id));
          await rm(join(folder, person, id), { recursive: true, force: true });
          removed++;
        }
      }
      return removed;
    },
  };
}

export type Drops = ReturnType<typeof openDrops>;

/** An account's id, or the one person of a library without accounts. */
const personFolder = (person: string) => person.replace(/[^0-9A-Za-z-]/g, "_");

async function readArrived(drop: string): Promise<Map<string, Arrived>> {
  const text = await readFile(join(drop, "arrived.jsonl"), "utf8").catch(() => "");
  const here = new Map<string, Arrived>();
  for (const line of text.split("\n")) {
    try {
      const file = JSON.parse(line) as Arrived;
      here.set(file.given, file);
    } catch {
      // The last line of a server that was killed while it wrote: its file is dropped again.
    }
  }
  return here;
}

async function partOf(incoming: string, upload: string): Promise<Begun> {
  const info = JSON.parse(await readFile(join(incoming, `${upload}.json`), "utf8")) as {
    size: number;
    metadata: Record<string, string>;
  };
  const { size: offset } = await stat(join(incoming, upload));
  return { upload, offset, ...fileOf(info.metadata, info.size) };
}

/** What the browser said of a file when it began to send it. */
export const fileOf = (metadata: Record<string, string | null>, bytes: number): Omit<Arrived, "path"> => ({
  given: metadata.path ?? "",
  bytes,
  modifiedMs: Number(metadata.modifiedMs ?? 0),
  sha256: metadata.sha256 ?? null,
});

/** Two files of one path (from two folders): the later one waits in a folder of its own. */
function freePath(card: string, path: string): string {
  let free = path;
  for (let nth = 2; existsSync(join(card, free)); nth++) free = `also-${nth}/${path}`;
  return free;
}

/** When something last came to a drop, by the disk's own clock. */
async function touchedMs(drop: string): Promise<number> {
  const incoming = join(drop, "incoming");
  const files = (await readdir(incoming).catch(() => [])).map((name) => join(incoming, name));
  const times = await Promise.all(
    [drop, incoming, join(drop, "arrived.jsonl"), ...files].map((path) =>
      stat(path).then(
        ({ mtimeMs }) => mtimeMs,
        () => 0,
      ),
    ),
  );
  return Math.max(...times);
}
