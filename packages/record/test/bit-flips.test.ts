import assert from "node:assert/strict";
import { chmod, readdir, readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { DatabaseSync } from "node:sqlite";
import { test } from "node:test";
import { SamescaleError } from "@samescale/errors";
import { freeRanges } from "./sqlite-page.ts";
import { randomFrom, temporaryFolder } from "./support.ts";
import { verified, wholeLibrary } from "./whole-library.ts";

const LONG = process.env.SAMESCALE_LONG === "1";

/** Flips one bit, looks, and puts the file back. Null: not seen; else everything that names it. */
async function seen(library: string, file: string, at: number, bit: number): Promise<string | null> {
  const whole = await readFile(file);
  const flipped = Buffer.from(whole);
  flipped[at] = (flipped[at] ?? 0) ^ (1 << bit);
  await chmod(file, 0o600);
  await writeFile(file, flipped);
  try {
    const { faults } = await verified(library);
    return faults.length === 0 ? null : faults.join("\n");
  } catch (thrown) {
    const { code, message } = thrown as SamescaleError & { code?: string };
    // A database that cannot be opened says so; what the engine says of a name it does not know is as good.
    assert.ok(thrown instanceof SamescaleError || code === "ERR_SQLITE_ERROR", String(thrown));
    return `${join(library, "samescale.db")} ${code}: ${message}`;
  } finally {
    await writeFile(file, whole);
  }
}

test("one bit flipped in any file of the library, or of its second place, is seen and the file is named", async (t) => {
  const { folder, place } = await wholeLibrary(await temporaryFolder(t));
  const random = randomFrom(7);
  let flips = 0;
  for (const root of [folder, place]) {
    for (const entry of await readdir(root, { recursive: true, withFileTypes: true })) {
      if (!entry.isFile() || entry.name === "samescale.db" || entry.name === "samescale-second-copy.txt")
        continue;
      const file = join(entry.parentPath, entry.name);
      const bytes = (await readFile(file)).length;
      const places = [
        0,
        bytes - 1,
        ...Array.from({ length: LONG ? 200 : 2 }, () => Math.floor(random() * bytes)),
      ];
      for (const at of places) {
        const found = await seen(folder, file, at, Math.floor(random() * 8));
        assert.ok(found?.includes(entry.name), `${file}, byte ${at}: ${found}`);
        flips++;
      }
    }
  }
  t.diagnostic(`${flips} flips`);
  assert.deepEqual((await verified(folder)).faults, [], "every file was put back");
});

/** Tables in which a flipped bit changes nothing that the record rests on (docs/custody.md). */
const BESIDE_THE_RECORD = /^(kysely_migration|kysely_migration_lock|search_)/;

test("one bit flipped in the database is seen wherever a byte holds something of the record", async (t) => {
  const { folder } = await wholeLibrary(await temporaryFolder(t));
  const file = join(folder, "samescale.db");
  const whole = await readFile(file);
  const unused = new Uint8Array(whole.length);
  for (const [from, to] of freeRanges(whole)) unused.fill(1, from, to);
  const pageBytes = whole.readUInt16BE(16);
  const database = new DatabaseSync(file, { readOnly: true });
  const pages = database.prepare("select tbl_name, rootpage from sqlite_schema where rootpage > 0").all();
  database.close();
  for (const { tbl_name, rootpage } of pages) {
    if (!BESIDE_THE_RECORD.test(String(tbl_name))) continue;
    unused.fill(1, (Number(rootpage) - 1) * pageBytes, Number(rootpage) * pageBytes);
  }
  const used = [...unused.keys()].filter((at) => unused[at] === 0);
  const random = randomFrom(20261126);
  const tries = LONG ? 5000 : 60;
  for (let n = 0; n < tries; n++) {
    const at = used[Math.floor(random() * used.length)] as number;
    const bit = Math.floor(random() * 8);
    const found = await seen(folder, file, at, bit);
    const where = `page ${Math.floor(at / pageBytes) + 1}, byte ${at % pageBytes}, bit ${bit}`;
    assert.ok(found !== null, `nothing was seen of ${where}`);
  }
  t.diagnostic(`${tries} flips in ${used.length} of ${whole.length} bytes`);
});
