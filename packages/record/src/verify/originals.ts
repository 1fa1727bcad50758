import type { Library } from "../library.ts";
import type { Fault, VerifyOptions } from "./report.ts";

/**
 * Every original that the tables know: is it there, has it its size, do its bytes have the hash it is named by.
 * And everything in the originals folder that the tables do not know.
 */
export async function* originalFaults(
  library: Library,
  options: VerifyOptions,
): AsyncGenerator<Fault, { originals: number; bytes: number }> {
  const rows = await library.read
    .selectFrom("file")
    .select(["sha256", "bytes", "name"])
    .orderBy("sha256")
    .execute();
  const expected = new Map(rows.map((row) => [row.sha256, row]));
  let originals = 0;
  let bytes = 0;
  for await (const listed of library.originals.list()) {
    options.signal?.throwIfAborted();
    if (listed.kind === "stray") {
      yield { where: "original", subject: listed.path, fault: `does not belong here: ${listed.why}` };
      continue;
    }
    const row = expected.get(listed.sha256);
    expected.delete(listed.sha256);
    if (row === undefined && !(await cameMeanwhile(library, listed.sha256))) {
      const fault =
        "no row knows it: its intake was killed; take the card in again, or look where it came from";
      yield { where: "original", subject: listed.sha256, fault };
    }
    if (row !== undefined && row.bytes !== listed.bytes) {
      const fault = `${row.name}: expected ${row.bytes} bytes, found ${listed.bytes}`;
      yield { where: "original", subject: listed.sha256, fault };
    }
    const found = await library.originals.rehash(listed.sha256, options.signal);
    if (found !== null && found !== listed.sha256) {
      yield {
        where: "original",
        subject: listed.sha256,
        fault: `its bytes were changed: they have ${found}`,
      };
    }
    originals++;
    bytes += listed.bytes;
    options.onProgress?.({ originals, of: rows.length, bytes });
  }
  for (const [sha256, row] of expected) {
    yield { where: "original", subject: sha256, fault: `is missing: ${row.name}, ${row.bytes} bytes` };
  }
  return { originals, bytes };
}

/** An intake may go on beside; its file gets its row a moment after its name. */
async function cameMeanwhile(library: Library, sha256: string): Promise<boolean> {
  const row = await library.read
    .selectFrom("file")
    .select("sha256")
    .where("sha256", "=", sha256)
    .executeTakeFirst();
  return row !== undefined;
}
