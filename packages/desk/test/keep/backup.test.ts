import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import {
  chmod,
  mkdir,
  mkdtemp,
  readdir,
  readFile,
  rename,
  rm,
  symlink,
  unlink,
  writeFile,
} from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { type TestContext, test } from "node:test";
import {
  type BackupSecret,
  backUp,
  backupsAt,
  type Desk,
  doneOrThrow,
  openDesk,
  restore,
} from "../../src/index.ts";
import { snapshotOf } from "../snapshot.ts";
import {
  addTwoRequests,
  faultsOf,
  freshDesk,
  LEG_LABEL,
  MARA,
  makeCard,
  NOON,
  takeAll,
  temporaryFolder,
} from "../support.ts";

const SECRET: BackupSecret = { from: "key-file", bytes: Buffer.from(`${"5a".repeat(32)}\n`) };

test("a backup put back is the library it was made of, proved by verify and by the log's head", async (t) => {
  const { desk, place } = await libraryWithPictures(t);
  const made = doneOrThrow(await backUp(desk, MARA, { place, secret: SECRET }));
  assert.equal(made.originals, 3);
  assert.deepEqual(made.faults, []);
  const before = await snapshotOf(desk.library);
  const folder = join(await temporaryFolder(t), "back");
  const restored = await restore(MARA, { place, secret: SECRET, backup: null, folder, clock: () => NOON });
  assert.deepEqual(restored.faults, []);
  assert.deepEqual({ ...restored.head }, { ...made.head });
  assert.equal(restored.verified.originals, 3);
  const again = await openDesk(folder);
  t.after(() => again.close());
  const after = await snapshotOf(again.library);
  // Both logs went on: the one tells of the backup, the other of the restoring.
  assert.deepEqual({ ...after, acts: null }, { ...before, acts: null });
  assert.deepEqual(after.acts?.slice(0, -1), before.acts?.slice(0, -1));
  const acts = (after.acts ?? []) as { act: string }[];
  assert.equal(acts.at(-1)?.act, "library.restore");
  assert.deepEqual(await faultsOf(again), []);
  assert.equal(await readFile(join(folder, "practice/department.yaml"), "utf8"), "version: 7\n");
  assert.deepEqual((await readdir(folder)).includes("keys"), false);
});

test("the next backup writes what is new and nothing else", async (t) => {
  const { desk, place } = await libraryWithPictures(t);
  const first = doneOrThrow(await backUp(desk, MARA, { place, secret: SECRET }));
  assert.equal(first.copied, first.originals + first.derived);
  const before = await pieceNames(place);
  const card = await makeCard(join(await temporaryFolder(t), "card2"), {
    "DCIM/100CLINI/DSC_0010.JPG": { taken: "2026:03:15 10:00:00", padding: 50_000 },
  });
  await takeAll(desk, [card]);
  const made = doneOrThrow(await backUp(desk, MARA, { place, secret: SECRET }));
  assert.equal(made.originals, 4);
  assert.equal(made.copied, 1 + made.derived - first.derived);
  const fresh = (await pieceNames(place)).filter((name) => !before.includes(name));
  const sizes = await Promise.all(fresh.map(async (name) => (await readFile(pathOf(place, name))).length));
  assert.equal(sizes.filter((size) => size > 50_000).length, 1);
  const unchanged = doneOrThrow(await backUp(desk, MARA, { place, secret: SECRET }));
  assert.equal(unchanged.copied, 0);
  assert.equal((await backupsAt(place, SECRET)).length, 3);
});

test("a backup made while a card is taken in is a whole library of one moment", async (t) => {
  const { desk, place } = await libraryWithPictures(t);
  const files = Object.fromEntries(
    Array.from({ length: 40 }, (_, at) => [
      `DCIM/101CLINI/DSC_${String(100 + at)}.JPG`,
      { taken: `2026:03:15 11:${String(at).padStart(2, "0")}:00`, padding: 20_000 },
    ]),
  );
  const card = await makeCard(join(await temporaryFolder(t), "busy"), files);
  const taking = takeAll(desk, [card]);
  await new Promise((resolve) => setTimeout(resolve, 60));
  const other = await openDesk(desk.library.folder, { mode: "open", clock: () => NOON });
  const made = doneOrThrow(await backUp(other, MARA, { place, secret: null }));
  await other.close();
  await taking;
  assert.deepEqual(made.faults, []);
  const folder = join(await temporaryFolder(t), "back");
  const restored = await restore(MARA, { place, secret: null, backup: made.name, folder });
  // An intake that was under way has files without a frame yet, which is no fault.
  assert.deepEqual(restored.faults, []);
  assert.ok(restored.originals >= 3, `${restored.originals} of ${made.originals}`);
});

test("a passphrase opens it, another one or none does not, and the words say so", async (t) => {
  const { desk, place } = await libraryWithPictures(t);
  const secret: BackupSecret = { from: "passphrase", text: "heron gravel lamp Thursday canoe" };
  const weak = backUp(desk, MARA, { place, secret: { from: "passphrase", text: "wound" } });
  await assert.rejects(weak, { code: "BACKUP_SECRET_WEAK" });
  doneOrThrow(await backUp(desk, MARA, { place, secret }));
  assert.equal((await backupsAt(place, secret)).length, 1);
  const wrong: BackupSecret = { from: "passphrase", text: "heron gravel lamp Thursday kayak" };
  await assert.rejects(backupsAt(place, wrong), {
    code: "BACKUP_SECRET_WRONG",
    message: /not its passphrase/,
  });
  await assert.rejects(backupsAt(place, null), { code: "BACKUP_SECRET_MISSING" });
  await assert.rejects(backupsAt(place, SECRET), {
    code: "BACKUP_SECRET_WRONG",
    message: /with a passphrase/,
  });
  const all = await Promise.all(
    (await pieceNames(place)).map((name) => readFile(pathOf(place, name), "latin1")),
  );
  assert.equal(
    all.some((text) => text.includes("Ada") || text.includes("made up")),
    false,
  );
  const about = JSON.parse(await readFile(join(place, "backup.json"), "utf8")) as {
    encryption: { key: { N: number } };
  };
  about.encryption.key.N = 2 ** 30;
  await writeFile(join(place, "backup.json"), JSON.stringify(about));
  await assert.rejects(backupsAt(place, secret), { code: "BACKUP_UNREADABLE", message: /out of bounds/ });
});

test("every piece is named by the SHA-256 of its bytes, which sha256sum checks without the key", async (t) => {
  const { desk, place } = await libraryWithPictures(t);
  doneOrThrow(await backUp(desk, MARA, { place, secret: SECRET }));
  for (const name of await pieceNames(place)) {
    assert.equal(execFileSync("sha256sum", [pathOf(place, name)], { encoding: "utf8" }).slice(0, 64), name);
  }
});

test("another program opens the pieces as docs/keep.md says (the cryptography package of Python)", async (t) => {
  const python = ["python3", "/usr/bin/python3"].find(
    (name) => spawnSync(name, ["-c", "import cryptography"]).status === 0,
  );
  if (python === undefined) return t.skip("no Python with the cryptography package here");
  const { desk, place } = await libraryWithPictures(t, 2_500_000);
  doneOrThrow(await backUp(desk, MARA, { place, secret: SECRET }));
  const code = /<!-- read-a-piece -->\n```python\n([\s\S]*?)```/.exec(
    await readFile(join(import.meta.dirname, "../../../../docs/keep.md"), "utf8"),
  )?.[1];
  assert.ok(code !== undefined, "docs/keep.md has the code");
  const script = join(await temporaryFolder(t), "piece.py");
  await writeFile(script, code);
  const originals = await desk.library.read.selectFrom("file").select("sha256").execute();
  const keyFile = join(await temporaryFolder(t), "key");
  await writeFile(keyFile, SECRET.from === "key-file" ? SECRET.bytes : "");
  const opened = new Set<string>();
  for (const name of (await bySize(place)).slice(0, 3)) {
    const run: { status: number | null; stdout: Buffer; stderr: Buffer } = spawnSync(
      python,
      [script, keyFile, pathOf(place, name)],
      {
        maxBuffer: 1e8,
      },
    );
    assert.equal(run.status, 0, String(run.stderr));
    opened.add(createHash("sha256").update(run.stdout).digest("hex"));
  }
  // Of 2.5 MB and 5 MB: several chunks each.
  assert.ok(originals.filter(({ sha256 }) => opened.has(sha256)).length >= 2);
});

test("a flipped bit, a missing piece, a cut piece and a swapped one are named; the rest comes back", async (t) => {
  const { desk, place } = await libraryWithPictures(t);
  doneOrThrow(await backUp(desk, MARA, { place, secret: SECRET }));
  const large = await bySize(place);
  const piece = large[0] as string;
  const path = pathOf(place, piece);
  const bytes = await readFile(path);
  const faultsWith = async (change: () => Promise<void>) => {
    await chmod(path, 0o644);
    await change();
    const folder = join(await temporaryFolder(t), "back");
    const { faults } = await restore(MARA, { place, secret: SECRET, backup: null, folder });
    await rm(path, { force: true });
    await writeFile(path, bytes);
    return faults;
  };
  const flipped = Buffer.from(bytes);
  flipped[1000] = (flipped[1000] as number) ^ 1;
  const named = await faultsWith(() => writeFile(path, flipped));
  assert.match(named[0] as string, new RegExp(`piece ${piece} of the backup is damaged`));
  assert.match(named[1] as string, /is missing/);
  assert.equal(named.length, 2);
  const cut = await faultsWith(() => writeFile(path, bytes.subarray(0, bytes.length - 20)));
  assert.match(cut[0] as string, new RegExp(piece));
  assert.match((await faultsWith(() => unlink(path)))[0] as string, /is not in the backup/);
  const another = await readFile(pathOf(place, large[1] as string));
  assert.match((await faultsWith(() => writeFile(path, another)))[0] as string, new RegExp(piece));
});

test("a damaged piece of the rows stops the restoring, and no library appears", async (t) => {
  const { desk, place } = await libraryWithPictures(t);
  doneOrThrow(await backUp(desk, MARA, { place, secret: SECRET }));
  const [backup] = await backupsAt(place, SECRET);
  const piece = backup?.manifest.tables.patient?.pieces[0]?.stored ?? "";
  const bytes = await readFile(pathOf(place, piece));
  bytes[bytes.length - 1] = (bytes.at(-1) as number) ^ 1;
  await chmod(pathOf(place, piece), 0o644);
  await writeFile(pathOf(place, piece), bytes);
  const parent = await temporaryFolder(t);
  const folder = join(parent, "back");
  const restoring = restore(MARA, { place, secret: SECRET, backup: null, folder });
  await assert.rejects(restoring, { code: "BACKUP_DAMAGED", message: new RegExp(piece) });
  assert.deepEqual(await readdir(parent), ["back.restoring"]);
});

test("an original that is damaged in the library is named, and the backup holds the rest", async (t) => {
  const { desk, place } = await libraryWithPictures(t);
  const row = await desk.library.read.selectFrom("file").select("sha256").executeTakeFirstOrThrow();
  const path = await desk.library.originals.localFile(row.sha256);
  await chmod(path, 0o644);
  await writeFile(path, "not what it was");
  for (const secret of [SECRET, null]) {
    const at = `${place}-${secret === null}`;
    const made = doneOrThrow(await backUp(desk, MARA, { place: at, secret }));
    assert.equal(made.originals, 2);
    assert.match(made.faults.join(), new RegExp(`original ${row.sha256}: `));
  }
});

test("a place is one library's, apart from it, and a library is put back only where nothing is", async (t) => {
  const { desk, place } = await libraryWithPictures(t);
  doneOrThrow(await backUp(desk, MARA, { place, secret: null }));
  const other = await freshDesk(t);
  await other.library.write("photographer:mara", async () => ({
    value: 1,
    deed: { act: "x", subject: "y" },
  }));
  const mixed = backUp(other, MARA, { place, secret: null });
  await assert.rejects(mixed, { code: "BACKUP_OTHER_LIBRARY" });
  const inside = backUp(desk, MARA, { place: join(desk.library.folder, "backup"), secret: null });
  await assert.rejects(inside, { code: "BACKUP_IN_LIBRARY" });
  const folder = await temporaryFolder(t);
  await writeFile(join(folder, "mine.txt"), "x");
  const taken = restore(MARA, { place, secret: null, backup: null, folder });
  await assert.rejects(taken, { code: "RESTORE_PLACE_TAKEN" });
  await assert.rejects(
    restore(MARA, { place: folder, secret: null, backup: null, folder: join(folder, "x") }),
    {
      code: "BACKUP_MISSING",
    },
  );
  const viewer = await backUp(desk, { name: "vic", role: "viewer" }, { place, secret: null });
  assert.equal(viewer.done, false);
});

test("links in the place lead nowhere, and a note cannot write outside the new library", async (t) => {
  const { desk, place } = await libraryWithPictures(t);
  doneOrThrow(await backUp(desk, MARA, { place, secret: null }));
  const [name] = (await readdir(join(place, "backups"))) as [string];
  const note = join(place, "backups", name);
  const manifest = JSON.parse(await readFile(note, "utf8")) as { files: { path: string }[] };
  for (const path of [
    "../evil",
    "practice/../../evil",
    "/etc/evil",
    "custody.head",
    "practice/a\\..\\b",
    "practice/..",
  ]) {
    const parent = await temporaryFolder(t);
    const changed = { ...manifest, files: [{ ...manifest.files[0], path }] };
    await writeFile(note, JSON.stringify(changed));
    const restoring = restore(MARA, { place, secret: null, backup: null, folder: join(parent, "back") });
    await assert.rejects(restoring, { code: "BACKUP_UNREADABLE" }, path);
    assert.deepEqual(await readdir(parent), ["back.restoring"]);
  }
  await unlink(note);
  await symlink("/etc/passwd", note);
  const folder = join(await temporaryFolder(t), "back");
  await assert.rejects(restore(MARA, { place, secret: null, backup: null, folder }), { code: "BACKUP_LINK" });
  const elsewhere = await temporaryFolder(t);
  await rename(join(place, "pieces"), join(elsewhere, "pieces"));
  await symlink(join(elsewhere, "pieces"), join(place, "pieces"));
  await assert.rejects(backUp(desk, MARA, { place, secret: null }), { code: "BACKUP_LINK" });
});

test("stopped on its way it goes on the next time, and the backup before is whole", async (t) => {
  const { desk, place } = await libraryWithPictures(t);
  const first = doneOrThrow(await backUp(desk, MARA, { place, secret: SECRET }));
  const card = await makeCard(join(await temporaryFolder(t), "more"), {
    "DCIM/100CLINI/DSC_0020.JPG": { taken: "2026:03:15 10:00:00", padding: 1000 },
    "DCIM/100CLINI/DSC_0021.JPG": { taken: "2026:03:15 10:01:00", padding: 2000 },
  });
  await takeAll(desk, [card]);
  const stop = new AbortController();
  const stopped = backUp(desk, MARA, {
    place,
    secret: SECRET,
    signal: stop.signal,
    onProgress: ({ step, copied }) => step === "originals" && copied === 1 && stop.abort(),
  });
  await assert.rejects(stopped, { name: "AbortError" });
  assert.equal((await backupsAt(place, SECRET)).length, 1);
  const folder = join(await temporaryFolder(t), "back");
  assert.deepEqual((await restore(MARA, { place, secret: SECRET, backup: first.name, folder })).faults, []);
  const second = doneOrThrow(await backUp(desk, MARA, { place, secret: SECRET }));
  assert.equal(second.originals, 5);
});

test("a disk that gets full leaves the backup before whole", async (t) => {
  if (process.getuid?.() !== 0) return t.skip("mounting a small file system needs root");
  const small = await mkdtemp(join(tmpdir(), "samescale-small-"));
  const mounted = spawnSync("mount", ["-t", "tmpfs", "-o", "size=2m", "tmpfs", small]);
  if (mounted.status !== 0) return t.skip("no small file system can be mounted here");
  t.after(async () => {
    spawnSync("umount", [small]);
    await rm(small, { recursive: true });
  });
  const { desk } = await libraryWithPictures(t);
  const place = join(small, "backup");
  const first = doneOrThrow(await backUp(desk, MARA, { place, secret: SECRET }));
  const card = await makeCard(join(await temporaryFolder(t), "large"), {
    "DCIM/100CLINI/DSC_0030.JPG": { taken: "2026:03:15 10:00:00", padding: 4_000_000 },
  });
  await takeAll(desk, [card]);
  await assert.rejects(backUp(desk, MARA, { place, secret: SECRET }), { code: "DISK_FULL" });
  const folder = join(await temporaryFolder(t), "back");
  const restored = await restore(MARA, { place, secret: SECRET, backup: null, folder });
  assert.equal(restored.backup, first.name);
  assert.deepEqual(restored.faults, []);
});

/** Two requests, a card of three pictures, a practice of its own, keys that sign. */
async function libraryWithPictures(t: TestContext, padding = 5000): Promise<{ desk: Desk; place: string }> {
  const desk = await freshDesk(t);
  await addTwoRequests(desk);
  const card = await makeCard(join(await temporaryFolder(t), "card"), {
    "DCIM/100CLINI/DSC_0001.JPG": { taken: "2026:03:15 09:00:00", codes: [LEG_LABEL] },
    "DCIM/100CLINI/DSC_0002.JPG": { taken: "2026:03:15 09:01:00", padding },
    "DCIM/100CLINI/DSC_0003.JPG": { taken: "2026:03:15 09:02:00", padding: padding * 2 },
  });
  await takeAll(desk, [card]);
  await mkdir(join(desk.library.folder, "practice"));
  await writeFile(join(desk.library.folder, "practice/department.yaml"), "version: 7\n");
  await mkdir(join(desk.library.folder, "keys"), { recursive: true });
  await writeFile(join(desk.library.folder, "keys/signing-key.pem"), "secret", { mode: 0o600 });
  return { desk, place: join(await temporaryFolder(t), "backup") };
}

const pathOf = (place: string, name: string) =>
  join(place, "pieces", name.slice(0, 2), name.slice(2, 4), name);

async function pieceNames(place: string): Promise<string[]> {
  const names = await readdir(join(place, "pieces"), { recursive: true });
  return names.flatMap((name) => (/[0-9a-f]{64}$/.test(name) ? [name.slice(-64)] : []));
}

async function bySize(place: string): Promise<string[]> {
  const names = await pieceNames(place);
  const sized = await Promise.all(
    names.map(async (name) => ({ name, size: (await readFile(pathOf(place, name))).length })),
  );
  return sized.sort((a, b) => b.size - a.size).map(({ name }) => name);
}
