import { rm, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { DatabaseSync } from "node:sqlite";
import {
  canonicalJson,
  type Fault,
  type Library,
  openLibrary,
  openOriginalsFolder,
  sha256Of,
  type VerifyCounts,
  type VerifyOptions,
  verifyLibrary,
} from "../src/index.ts";
import { bytesOf, sourceOf, steadyOptions } from "./support.ts";

export interface WholeLibrary {
  readonly folder: string;
  /** Where second copies lie. */
  readonly place: string;
  /** Of the three originals; the third was destroyed. */
  readonly originals: readonly [string, string, string];
  /** Of the derived picture made from the first. */
  readonly thumbnail: string;
}

/** A small library with one of everything that `verify` looks at: two keys, three signed heads, copies, a destroyed original. */
export async function wholeLibrary(parent: string): Promise<WholeLibrary> {
  const folder = join(parent, "library");
  const place = join(parent, "second");
  const library = await openLibrary(folder, steadyOptions());
  const copies = await openOriginalsFolder(join(place, "originals"));
  await writeFile(join(place, "samescale-second-copy.txt"), "the mark of a place that was used\n");
  const originals: string[] = [];
  for (const seed of [1, 2, 3]) {
    const source = sourceOf(bytesOf(300 + seed, seed));
    await copies.put(source);
    originals.push(await storeFile(library, await put(library.originals, source), place, seed));
  }
  const thumbnail = await storeThumbnail(library, originals[0] as string);
  await library.signHead();
  await library.rotateKey("administrator:ines", "yearly", false);
  await destroy(library, originals[2] as string, folder, place);
  await library.signHead();
  await library.close();
  return { folder, place, originals: originals as [string, string, string], thumbnail };
}

async function put(store: Library["originals"], source: ReturnType<typeof sourceOf>) {
  const stored = await store.put(source);
  if (stored.state === "unreadable") throw stored.error;
  return stored;
}

async function storeFile(
  library: Library,
  { sha256, bytes }: { sha256: string; bytes: number },
  place: string,
  seed: number,
): Promise<string> {
  const now = library.clock().toISOString();
  await library.write("photographer:mara", async (writing) => {
    await writing.insert("file", {
      sha256,
      bytes,
      name: `DSC_000${seed}.JPG`,
      format: "jpeg",
      frame_id: null,
      info: null,
      stored_at: now,
    });
    await writing.insert("copy", { id: library.newId(), sha256, place, bytes, verified_at: now });
    return { value: null, deed: { act: "file.store", subject: `file/${sha256}` } };
  });
  return sha256;
}

async function storeThumbnail(library: Library, original: string): Promise<string> {
  const { sha256, bytes } = await put(library.derived, sourceOf(bytesOf(90, 9)));
  const body = canonicalJson({ sha256, bytes, format: "jpeg", use: "thumbnail" });
  await library.write("photographer:mara", async (writing) => {
    await writing.insert("picture", {
      id: "p1",
      frame_id: null,
      request_id: null,
      recipe: canonicalJson({ step: "picture", version: 1 }),
      inputs: canonicalJson([original]),
      body,
      sha256: sha256Of(body),
      made_at: library.clock().toISOString(),
    });
    return { value: null, deed: { act: "picture.store", subject: "picture/p1" } };
  });
  return sha256;
}

async function destroy(library: Library, sha256: string, folder: string, place: string): Promise<void> {
  const destroyed_at = library.clock().toISOString();
  await library.write("lead:ines", async (writing) => {
    await writing.update("file", sha256, { destroyed_at, destroyed_because: "kept for 8 years" });
    return { value: null, deed: { act: "file.destroy", subject: `file/${sha256}` } };
  });
  await rm(fileOf(folder, "originals", sha256));
  await rm(fileOf(place, "originals", sha256));
}

export const fileOf = (folder: string, store: string, sha256: string): string =>
  join(folder, store, sha256.slice(0, 2), sha256.slice(2, 4), sha256);

/** Opened for reading and checked: faults as `where subject: fault`. */
export async function verified(
  folder: string,
  options: VerifyOptions = {},
): Promise<{ faults: string[]; counts: VerifyCounts }> {
  const library = await openLibrary(folder, { mode: "read" });
  const faults: string[] = [];
  const checking: AsyncGenerator<Fault, VerifyCounts> = verifyLibrary(library, options);
  try {
    for (;;) {
      const next = await checking.next();
      if (next.done) return { faults, counts: next.value };
      const { where, subject, fault } = next.value;
      faults.push(`${where} ${subject}: ${fault}`);
    }
  } finally {
    await library.close();
  }
}

/** Changes a library's database as somebody would who owns the file. */
export function sqlIn(folder: string, text: string): void {
  const database = new DatabaseSync(join(folder, "samescale.db"), { enableForeignKeyConstraints: false });
  database.exec(text);
  database.close();
}
