import assert from "node:assert/strict";
import { chmod, cp, readFile, rename, rm, unlink, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { DatabaseSync } from "node:sqlite";
import { test } from "node:test";
import {
  canonicalJson,
  type Fault,
  type Head,
  type Library,
  openLibrary,
  sha256Of,
  verifyLibrary,
} from "../src/index.ts";
import { bytesOf, sourceOf, steadyOptions, temporaryFolder } from "./support.ts";

/** A small library with everything that can be checked; returns the hashes of its three originals. */
async function fill(library: Library): Promise<string[]> {
  const hashes: string[] = [];
  const made_at = library.clock().toISOString();
  for (const at of [1, 2, 3]) {
    const put = await library.originals.put(sourceOf(bytesOf(2000 + at, at)));
    assert.ok(put.state !== "unreadable");
    hashes.push(put.sha256);
    await library.write("photographer:mara", async (writing) => {
      const { sha256, bytes } = put;
      const name = `DSC_000${at}.JPG`;
      await writing.insert("file", {
        sha256,
        bytes,
        name,
        format: "jpeg",
        frame_id: null,
        info: null,
        stored_at: made_at,
      });
      return { value: null, deed: { act: "file.store", subject: `file/${sha256}` } };
    });
  }
  await library.write("photographer:mara", async (writing) => {
    const common = { frame_id: null, request_id: null, made_at };
    const recipe = canonicalJson({ step: "scale", version: 1, parameters: {} });
    const reading = canonicalJson({ pxPerMm: 12.25 });
    const inputs = canonicalJson([hashes[0] as string]);
    await writing.insert("reading", {
      ...common,
      id: "r1",
      recipe,
      inputs,
      body: reading,
      sha256: sha256Of(reading),
    });
    const measured = canonicalJson({ areaMm2: 320 });
    const made = canonicalJson([sha256Of(reading), hashes[0] as string]);
    await writing.insert("measurement", {
      ...common,
      id: "m1",
      recipe,
      inputs: made,
      body: measured,
      sha256: sha256Of(measured),
    });
    return { value: null, deed: { act: "reading.store", subject: "reading/r1" } };
  });
  return hashes;
}

async function verify(folder: string, kept?: Head): Promise<{ faults: Fault[]; counts: unknown }> {
  const library = await openLibrary(folder, { mode: "read" });
  const faults: Fault[] = [];
  const checking = verifyLibrary(library, kept ? { kept } : {});
  try {
    for (;;) {
      const next = await checking.next();
      if (next.done) return { faults, counts: next.value };
      faults.push(next.value);
    }
  } finally {
    await library.close();
  }
}

interface Damaged {
  readonly folder: string;
  readonly hashes: readonly string[];
  path(sha256: string): string;
  sql(text: string): void;
}

/** Makes a sound library, harms it, and says which faults must be named, as `where subject: part of the sentence`. */
function harmed(title: string, harm: (damaged: Damaged) => Promise<(string | RegExp)[]>, kept?: Head): void {
  test(`verify names it: ${title}`, async (t) => {
    const folder = join(await temporaryFolder(t), "library");
    const library = await openLibrary(folder, steadyOptions());
    const hashes = await fill(library);
    await library.close();
    const expected = await harm({
      folder,
      hashes,
      path: (sha256) => join(folder, "originals", sha256.slice(0, 2), sha256.slice(2, 4), sha256),
      sql(text) {
        const database = new DatabaseSync(join(folder, "samescale.db"), {
          enableForeignKeyConstraints: false,
        });
        database.exec(text);
        database.close();
      },
    });
    const { faults } = await verify(folder, kept);
    const found = faults.map(({ where, subject, fault }) => `${where} ${subject}: ${fault}`);
    assert.equal(found.length, expected.length, found.join("\n"));
    for (const want of expected) {
      assert.ok(
        found.some((text) => (typeof want === "string" ? text.startsWith(want) : want.test(text))),
        `${want} not in:\n${found.join("\n")}`,
      );
    }
  });
}

async function flip(path: string): Promise<void> {
  const bytes = await readFile(path);
  bytes[777] = (bytes[777] ?? 0) ^ 0b1000;
  await chmod(path, 0o644);
  await writeFile(path, bytes);
}

test("a sound library has no faults, and the counts say what was checked", async (t) => {
  const folder = join(await temporaryFolder(t), "library");
  const library = await openLibrary(folder, steadyOptions());
  await fill(library);
  await library.close();
  const { faults, counts } = await verify(folder);
  assert.deepEqual(faults, []);
  const { head, ...numbers } = counts as { head: Head };
  assert.deepEqual(numbers, {
    originals: 3,
    bytes: 6006,
    entries: 5,
    rows: 5,
    derivatives: 2,
    derived: 0,
    copies: 0,
    signedHeads: 0,
    timeStamps: 0,
    faults: 0,
    notes: [],
  });
  assert.equal(head.sequence, 5);
  assert.deepEqual((await verify(folder, head)).faults, []);
});

harmed("one bit of one original flipped", async ({ path, hashes }) => {
  await flip(path(hashes[1] as string));
  return [`original ${hashes[1]}: its bytes were changed: they have `];
});

harmed("an original gone", async ({ path, hashes }) => {
  await unlink(path(hashes[2] as string));
  return [`original ${hashes[2]}: is missing: DSC_0003.JPG, 2003 bytes`];
});

harmed("the whole originals folder gone", async ({ folder, hashes }) => {
  await rm(join(folder, "originals"), { recursive: true });
  return hashes.map((sha256) => `original ${sha256}: is missing`);
});

harmed("an original cut short", async ({ path, hashes }) => {
  const at = path(hashes[0] as string);
  await chmod(at, 0o644);
  await writeFile(at, (await readFile(at)).subarray(0, 500));
  return [
    `original ${hashes[0]}: DSC_0001.JPG: expected 2001 bytes, found 500`,
    `original ${hashes[0]}: its bytes were changed`,
  ];
});

harmed("files in the originals folder that nobody took in", async ({ folder, path, hashes }) => {
  await cp(path(hashes[0] as string), join(folder, "originals/copy.jpg"));
  await writeFile(join(folder, "originals/incoming/x.part"), "x");
  const empty = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855";
  await cp(path(hashes[0] as string), path(empty), { recursive: true });
  return [
    /^original .*copy\.jpg: does not belong here/,
    /^original .*x\.part: does not belong here/,
    `original ${empty}: no row knows it`,
    `original ${empty}: its bytes were changed`,
  ];
});

harmed("two originals that changed places", async ({ path, hashes }) => {
  const [a, b] = [path(hashes[0] as string), path(hashes[1] as string)];
  await rename(a, `${a}.x`);
  await rename(b, a);
  await rename(`${a}.x`, b);
  return [
    `original ${hashes[0]}: DSC_0001.JPG: expected 2001 bytes, found 2002`,
    `original ${hashes[0]}: its bytes were changed: they have ${hashes[1]}`,
    `original ${hashes[1]}: DSC_0002.JPG: expected 2002 bytes, found 2001`,
    `original ${hashes[1]}: its bytes were changed: they have ${hashes[0]}`,
  ];
});

harmed("a row changed behind the log's back", async ({ sql, hashes }) => {
  sql(`update file set name = 'DSC_0099.JPG' where sha256 = '${hashes[1]}'`);
  return [`row file/${hashes[1]}: was changed without an act: entry 3 sealed `];
});

harmed("a row taken out, and one put in", async ({ sql, hashes }) => {
  sql("delete from measurement");
  sql("insert into patient values ('p9', '1', 'H', 'nobody', null, '{}', '2026-01-01T00:00:00.000Z')");
  void hashes;
  return [
    "row measurement/m1: is gone: entry 5 wrote it",
    "row patient/p9: the log knows nothing of this row",
  ];
});

harmed("a measurement changed, with its own hash made to fit", async ({ sql }) => {
  const body = canonicalJson({ areaMm2: 280 });
  sql(`update measurement set body = '${body}', sha256 = '${sha256Of(body)}'`);
  return ["row measurement/m1: was changed without an act"];
});

harmed("a reading that lost its recipe and what it was made from", async ({ sql }) => {
  sql(`update reading set recipe = '{}', inputs = '[]', body = '{}'`);
  return [
    "row reading/r1: was changed without an act",
    "derivative reading/r1: does not say how it was made",
    "derivative reading/r1: its body does not have the SHA-256 that it states",
    "derivative reading/r1: does not say what it was made from",
  ];
});

harmed("a derivative made from something that is not here", async ({ sql }) => {
  sql(`update measurement set inputs = '["${"ab".repeat(32)}"]'`);
  return [
    "row measurement/m1: was changed without an act",
    `derivative measurement/m1: was made from ${"ab".repeat(32)}, which is not in the library`,
  ];
});

harmed("an entry of the log changed after its guard was taken away", async ({ sql }) => {
  sql("drop trigger act_no_update; update act set actor = 'photographer:dov' where sequence = 3");
  return [
    "database samescale.db: the trigger act_no_update is gone",
    "log entry 3: was changed: its hash is ",
    "tree leaf of entry 3: is ",
  ];
});

harmed("an entry taken out of the log", async ({ sql, hashes }) => {
  sql("drop trigger act_no_delete; delete from act where sequence = 2");
  return [
    "database samescale.db: the trigger act_no_delete is gone",
    "log entry 3: stands where entry 2 belongs",
    "log entry 3: does not follow the entry before it",
    "tree leaf of entry 2: is kept, and the log has no such entry",
    `row file/${hashes[0]}: the log knows nothing of this row`,
  ];
});

harmed("an entry that is no JSON any more", async ({ sql, hashes }) => {
  sql("drop trigger act_no_update; update act set details = 'rubbish' where sequence = 2");
  return [
    "database samescale.db: the trigger act_no_update is gone",
    "log entry 2: is not an entry of a custody log",
    "log entry 3: does not follow the entry before it",
    "tree leaf of entry 2: is ",
    `row file/${hashes[0]}: the log knows nothing of this row`,
  ];
});

harmed("the end of the log cut off, found by the head beside the database", async ({ sql }) => {
  sql(
    "drop trigger act_no_delete; delete from act where sequence = 5; delete from reading; delete from measurement",
  );
  return [
    "database samescale.db: the trigger act_no_delete is gone",
    "log entry 5: is missing: the kept head in custody.head names it, the log ends with entry 4",
    "tree leaf of entry 5: is kept, and the log has no such entry",
  ];
});

harmed(
  "the end cut off and the head beside it put back, found by a head kept elsewhere",
  async ({ sql, folder }) => {
    sql(
      "drop trigger act_no_delete; delete from act where sequence = 5; delete from reading; delete from measurement",
    );
    const database = new DatabaseSync(join(folder, "samescale.db"));
    const hash = database.prepare("select hash from act where sequence = 4").get()?.hash;
    database.close();
    await writeFile(join(folder, "custody.head"), `${"4".padStart(15, "0")}:${hash}\n`);
    return [
      "database samescale.db: the trigger act_no_delete is gone",
      "log entry 5: is missing: the kept head names it",
      "tree leaf of entry 5: is kept",
    ];
  },
  { sequence: 5, hash: "0".repeat(64) },
);

harmed("the head beside the database gone, or not a head", async ({ folder }) => {
  await rm(join(folder, "custody.head"));
  return ["log custody.head: is missing"];
});

harmed("a head file that is none", async ({ folder }) => {
  await writeFile(join(folder, "custody.head"), "all is well\n");
  return [/^log custody\.head: .* is not the head of a custody log/];
});

test("an older copy of the database put back is found", async (t) => {
  const folder = join(await temporaryFolder(t), "library");
  const first = await openLibrary(folder, steadyOptions());
  await first.close();
  await cp(join(folder, "samescale.db"), `${folder}.old`);
  const library = await openLibrary(folder, steadyOptions());
  const hashes = await fill(library);
  await library.close();
  await cp(`${folder}.old`, join(folder, "samescale.db"));
  const { faults } = await verify(folder);
  assert.deepEqual(faults[0], {
    where: "log",
    subject: "entry 5",
    fault: "is missing: the kept head in custody.head names it, the log ends with entry 1",
  });
  assert.equal(faults.filter((fault) => fault.fault.startsWith("no row knows it")).length, hashes.length);
});

test("verifying can be stopped", async (t) => {
  const folder = join(await temporaryFolder(t), "library");
  const library = await openLibrary(folder, steadyOptions());
  await fill(library);
  const checking = verifyLibrary(library, { signal: AbortSignal.abort() });
  await assert.rejects(checking.next(), { name: "AbortError" });
  await library.close();
});
