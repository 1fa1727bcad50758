import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { chmod, cp, mkdir, readdir, readFile, stat, truncate, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { test } from "node:test";
import { entriesOf, type Library, openLibrary, verifyChain } from "../src/index.ts";
import { all, steadyOptions, temporaryFolder } from "./support.ts";

const PATIENT = { number: "HN12345", authority: "H", name: "Ada", birth_date: null, details: "{}" };

const addPatient = (library: Library, number: string) =>
  library.write("photographer:mara", async (writing) => {
    const id = library.newId();
    await writing.insert("patient", { ...PATIENT, id, number, made_at: library.clock().toISOString() });
    return { value: id, deed: { act: "patient.add", subject: `patient/${id}` } };
  });

test("a library is made with what it needs, closed to others, and says what it is", async (t) => {
  const folder = join(await temporaryFolder(t), "deep/library");
  const library = await openLibrary(folder, steadyOptions());
  await library.close();
  assert.deepEqual((await readdir(folder)).sort(), [
    "README.txt",
    "custody.head",
    "derived",
    "originals",
    "samescale.db",
  ]);
  assert.match(await readFile(join(folder, "README.txt"), "utf8"), /confidential health records/);
  assert.equal((await stat(folder)).mode & 0o077, 0);
});

test("an act and its entry are committed together, and the rows it wrote are sealed in it", async (t) => {
  const library = await openLibrary(join(await temporaryFolder(t), "library"), steadyOptions());
  const id = await addPatient(library, "HN1");
  const entries = await all(entriesOf(library.read));
  assert.deepEqual(verifyChain(entries, null), []);
  const last = entries.at(-1) as { act: string; actor: string; details: { rows: Record<string, string> } };
  assert.deepEqual([last.act, last.actor], ["patient.add", "photographer:mara"]);
  assert.deepEqual(Object.keys(last.details.rows), [`patient/${id}`]);
  const kept = await readFile(join(library.folder, "custody.head"), "utf8");
  assert.match(kept, /^0{14}2:[0-9a-f]{64}\n$/);
  await library.close();
});

test("an act that fails leaves neither rows nor an entry", async (t) => {
  const library = await openLibrary(join(await temporaryFolder(t), "library"), steadyOptions());
  const failing = library.write("photographer:mara", async (writing) => {
    await writing.insert("patient", { ...PATIENT, id: "x", made_at: "2026-03-15T09:00:00.000Z" });
    throw new Error("the pen broke");
  });
  await assert.rejects(failing, /the pen broke/);
  assert.equal((await library.read.selectFrom("patient").selectAll().execute()).length, 0);
  assert.equal((await all(entriesOf(library.read))).length, 1);
  await library.close();
});

test("an act that changes rows and tells nothing is refused; one that changes nothing may be silent", async (t) => {
  const library = await openLibrary(join(await temporaryFolder(t), "library"), steadyOptions());
  const silent = library.write("photographer:mara", async (writing) => {
    await writing.insert("patient", { ...PATIENT, id: "x", made_at: "2026-03-15T09:00:00.000Z" });
    return { value: null, deed: null };
  });
  await assert.rejects(silent, { code: "ACT_NOT_LOGGED" });
  assert.equal(await library.write("photographer:mara", async () => ({ value: 7, deed: null })), 7);
  assert.equal((await library.read.selectFrom("patient").selectAll().execute()).length, 0);
  const unknown = library.write("photographer:mara", async (writing) => {
    await writing.update("patient", "nobody", { name: "x" });
    return { value: null, deed: { act: "patient.rename", subject: "patient/nobody" } };
  });
  await assert.rejects(unknown, { code: "ROW_MISSING" });
  await library.close();
});

test("acts begun at once are one chain", async (t) => {
  const library = await openLibrary(join(await temporaryFolder(t), "library"), steadyOptions());
  await Promise.all(Array.from({ length: 20 }, (_, at) => addPatient(library, `HN${at}`)));
  const entries = await all(entriesOf(library.read));
  assert.equal(entries.length, 21);
  assert.deepEqual(verifyChain(entries, null), []);
  await library.close();
});

test("several processes that make one library and write to it at once end with one chain", async (t) => {
  const folder = join(await temporaryFolder(t), "library");
  const writers = ["a", "b", "c"].map(
    (name) =>
      new Promise<number | null>((resolve) => {
        const script = join(import.meta.dirname, "write-patients.process.ts");
        spawn(process.execPath, [script, folder, name, "15"], { stdio: "inherit" }).on("exit", resolve);
      }),
  );
  assert.deepEqual(await Promise.all(writers), [0, 0, 0]);
  const library = await openLibrary(folder, { mode: "read" });
  const entries = await all(entriesOf(library.read));
  assert.equal(entries.length, 1 + 45);
  assert.deepEqual(verifyChain(entries, null), []);
  await library.close();
});

test("what is no library is refused and left as it is", async (t) => {
  const folder = await temporaryFolder(t);
  await assert.rejects(openLibrary(join(folder, "none"), { mode: "open" }), { code: "LIBRARY_MISSING" });
  await assert.rejects(openLibrary(join(folder, "none"), { mode: "read" }), { code: "LIBRARY_MISSING" });
  assert.deepEqual(await readdir(folder), []);
  await writeFile(join(folder, "holiday.jpg"), "x");
  await assert.rejects(openLibrary(folder), { code: "NOT_A_LIBRARY", message: /holds other things/ });
  await assert.rejects(openLibrary(join(folder, "holiday.jpg")), {
    code: "NOT_A_LIBRARY",
    message: /is a file/,
  });
  await assert.rejects(openLibrary(join(folder, "holiday.jpg/x")), { code: "FILE_MISSING" });
  assert.deepEqual(await readdir(folder), ["holiday.jpg"]);
});

test("a library whose making was killed is finished by the next opening", async (t) => {
  const folder = await temporaryFolder(t);
  const empty = join(folder, "empty");
  await mkdir(empty);
  await (await openLibrary(empty, steadyOptions())).close();
  const databaseOnly = join(folder, "database-only");
  await mkdir(databaseOnly);
  await writeFile(join(databaseOnly, "samescale.db"), "");
  const library = await openLibrary(databaseOnly, steadyOptions());
  assert.equal((await all(entriesOf(library.read))).length, 1);
  await library.close();
});

test("a library killed between making the file of its head and writing it opens again", async (t) => {
  const folder = join(await temporaryFolder(t), "library");
  await (await openLibrary(folder)).close();
  const head = await readFile(join(folder, "custody.head"), "utf8");
  await writeFile(join(folder, "custody.head"), "");
  await (await openLibrary(folder)).close();
  assert.equal(await readFile(join(folder, "custody.head"), "utf8"), head);
});

test("a torn database is called damaged, and the originals are said to be untouched", async (t) => {
  const folder = join(await temporaryFolder(t), "library");
  const library = await openLibrary(folder, steadyOptions());
  for (let at = 0; at < 50; at++) await addPatient(library, `HN${at}`);
  await library.close();
  await truncate(join(folder, "samescale.db"), 30_000);
  const damaged = async () => {
    const torn = await openLibrary(folder, { mode: "read" });
    await all(entriesOf(torn.read)).finally(() => torn.close());
  };
  await assert.rejects(damaged(), { code: "LIBRARY_DAMAGED", help: /originals folder is untouched/ });
});

test("a library that this user may not write can be read, and says so when written to", async (t) => {
  if (process.getuid?.() !== 0) return t.skip("playing another user needs root");
  const parent = await temporaryFolder(t);
  const folder = join(parent, "library");
  const library = await openLibrary(folder, steadyOptions());
  await addPatient(library, "HN1");
  await library.close();
  await chmod(parent, 0o755);
  await chmod(folder, 0o755);
  const closed = join(parent, "closed");
  await cp(folder, closed, { recursive: true });
  await chmod(closed, 0o700);
  const asNobody = async (...args: string[]) => {
    const script = join(import.meta.dirname, "read-as-other-user.process.ts");
    const child = spawn(process.execPath, [script, ...args], { uid: 65534, gid: 65534 });
    let out = "";
    child.stdout.on("data", (piece) => (out += piece));
    child.stderr.on("data", (piece) => (out += piece));
    await new Promise((resolve) => child.on("exit", resolve));
    return out.trim();
  };
  if ((await asNobody("can-it-run")) !== "it can")
    return t.skip("another user cannot run the code from here");
  assert.equal(await asNobody(folder, "read"), "2 entries");
  assert.equal(await asNobody(folder, "open"), "FILE_NOT_PERMITTED");
  assert.equal(await asNobody(closed, "read"), "FILE_NOT_PERMITTED");
});
