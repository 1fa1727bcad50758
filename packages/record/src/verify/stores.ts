import type { ReadonlyKysely } from "kysely/readonly";
import type { Library } from "../library.ts";
import type { Originals } from "../originals/originals.ts";
import type { Schema } from "../tables/schema.ts";
import type { Fault, VerifyOptions } from "./report.ts";

/** What the tables say of the bytes in a store. */
interface Expected {
  /** By SHA-256. */
  readonly here: ReadonlyMap<string, { readonly bytes: number; readonly name: string }>;
  /** Gone by an act: when. */
  readonly destroyed: ReadonlyMap<string, string>;
}

/** Every original and every derived picture: is it there, has it its size, do its bytes have the hash it is named by. */
export async function* storeFaults(
  library: Library,
  options: VerifyOptions,
): AsyncGenerator<Fault, { originals: number; derived: number; bytes: number; notes: string[] }> {
  const files = await filesExpected(library.read);
  const notes = [...files.destroyed.values()];
  const originals = yield* oneStore(library.originals, "original", files, options, async (sha256) => {
    // An intake may go on beside; its file gets its row a moment after its name.
    const row = await library.read
      .selectFrom("file")
      .select("sha256")
      .where("sha256", "=", sha256)
      .executeTakeFirst();
    return row !== undefined;
  });
  const pictures = await picturesExpected(library.read, files.destroyed);
  const derived = yield* oneStore(library.derived, "derived", pictures, options, async (sha256) =>
    (await picturesExpected(library.read, files.destroyed)).here.has(sha256),
  );
  return { originals: originals.files, derived: derived.files, bytes: originals.bytes, notes };
}

async function filesExpected(read: ReadonlyKysely<Schema>): Promise<Expected> {
  const rows = await read
    .selectFrom("file")
    .select(["sha256", "bytes", "name", "destroyed_at", "destroyed_because"])
    .orderBy("sha256")
    .execute();
  const here = new Map<string, { bytes: number; name: string }>();
  const destroyed = new Map<string, string>();
  for (const { sha256, bytes, name, destroyed_at, destroyed_because } of rows) {
    if (destroyed_at === null) here.set(sha256, { bytes, name });
    else {
      destroyed.set(
        sha256,
        `Original ${sha256} (${name}) was destroyed on ${destroyed_at}: ${destroyed_because}`,
      );
    }
  }
  return { here, destroyed };
}

/** A picture made from what was destroyed is gone with it. */
async function picturesExpected(
  read: ReadonlyKysely<Schema>,
  destroyed: ReadonlyMap<string, string>,
): Promise<Expected> {
  const here = new Map<string, { bytes: number; name: string }>();
  const rows = await read.selectFrom("picture").select(["id", "body", "inputs"]).orderBy("id").execute();
  for (const row of rows) {
    const body = parsed(row.body) as { sha256?: unknown; bytes?: unknown } | null;
    const inputs = parsed(row.inputs);
    if (Array.isArray(inputs) && inputs.some((input) => destroyed.has(String(input)))) continue;
    here.set(String(body?.sha256), { bytes: Number(body?.bytes), name: `picture/${row.id}` });
  }
  return { here, destroyed: new Map() };
}

async function* oneStore(
  store: Originals,
  where: "original" | "derived",
  { here, destroyed }: Expected,
  options: VerifyOptions,
  cameMeanwhile: (sha256: string) => Promise<boolean>,
): AsyncGenerator<Fault, { files: number; bytes: number }> {
  const missing = new Map(here);
  let files = 0;
  let bytes = 0;
  for await (const listed of store.list()) {
    options.signal?.throwIfAborted();
    if (listed.kind === "stray") {
      yield { where, subject: listed.path, fault: `does not belong here: ${listed.why}` };
      continue;
    }
    const { sha256: subject } = listed;
    const row = missing.get(subject);
    missing.delete(subject);
    if (destroyed.has(subject)) {
      yield { where, subject, fault: "is here, and the record says that it was destroyed" };
    } else if (row === undefined && !(await cameMeanwhile(subject))) {
      yield { where, subject, fault: UNKNOWN[where] };
    }
    if (row !== undefined && row.bytes !== listed.bytes) {
      yield { where, subject, fault: `${row.name}: expected ${row.bytes} bytes, found ${listed.bytes}` };
    }
    const found = await store.rehash(subject, options.signal);
    if (found !== null && found !== subject) {
      yield { where, subject, fault: `its bytes were changed: they have ${found}` };
    }
    files++;
    bytes += listed.bytes;
    if (where === "original") options.onProgress?.({ originals: files, of: here.size, bytes });
  }
  for (const [subject, row] of missing) {
    yield { where, subject, fault: `is missing: ${row.name}, ${row.bytes} bytes` };
  }
  return { files, bytes };
}

const UNKNOWN = {
  original: "no row knows it: its intake was killed; take the card in again, or look where it came from",
  derived: "no row knows it: the run that made it was killed; it can be removed",
} as const;

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}
