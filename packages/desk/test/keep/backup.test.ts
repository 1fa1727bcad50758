import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { chmod, mkdtemp, readdir, readFile, rename, rm, symlink, unlink, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { type TestContext, test } from "node:test";
import { type BackupSecret, backUp, backupsAt, doneOrThrow, openDesk, restore } from "../../src/index.ts";
import { freshDesk, MARA, makeCard, NOON, takeAll, temporaryFolder } from "../support.ts";
import { backupContract, bySize, type PlaceUnderTest } from "./backup-contract.ts";
import { libraryWithPictures, SECRET, takeMore } from "./library-with-pictures.ts";

backupContract("folder", async (t) => inFolder(join(await temporaryFolder(t), "backup")));

test("a backup made while a card is taken in is a whole library of one moment", async (t) => {
  const { desk, place } = await libraryAndPlace(t);
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
  const { desk, place } = await libraryAndPlace(t);
  const secret: BackupSecret = { from: "passphrase", text: "heron gravel lamp Thursday canoe" };
  const weak = backUp(desk, MARA, { place, secret: { from: "passphrase", text: "wound" } });
  await assert.rejects(weak, { code: "BACKUP_SECRET_WEAK" });
  doneOrThrow(await backUp(desk, MARA, { place, secret }));
  assert.equal((await backupsAt({ place }, secret, ".")).length, 1);
  const wrong: BackupSecret = { from: "passphrase", text: "heron gravel lamp Thursday kayak" };
  await assert.rejects(backupsAt({ place }, wrong, "."), {
    code: "BACKUP_SECRET_WRONG",
    message: /not its passphrase/,
  });
  await assert.rejects(backupsAt({ place }, null, "."), { code: "BACKUP_SECRET_MISSING" });
  await assert.rejects(backupsAt({ place }, SECRET, "."), {
    code: "BACKUP_SECRET_WRONG",
    message: /with a passphrase/,
  });
  const all = await Promise.all(
    (await inFolder(place).names()).map((name) => readFile(pathOf(place, name), "latin1")),
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
  await assert.rejects(backupsAt({ place }, secret, "."), {
    code: "BACKUP_UNREADABLE",
    message: /out of bounds/,
  });
});

test("another program opens the pieces as docs/keep.md says (the cryptography package of Python)", async (t) => {
  const python = ["python3", "/usr/bin/python3"].find(
    (name) => spawnSync(name, ["-c", "import cryptography"]).status === 0,
  );
  if (python === undefined) return t.skip("no Python with the cryptography package here");
  const { desk, place } = await libraryAndPlace(t, 2_500_000);
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
  for (const name of (await bySize(inFolder(place))).slice(0, 3)) {
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

test("an original that is damaged in the library is named, and the backup holds the rest", async (t) => {
  const { desk, place } = await libraryAndPlace(t);
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
  const { desk, place } = await libraryAndPlace(t);
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
  const { desk, place } = await libraryAndPlace(t);
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

test("a disk that gets full leaves the backup before whole", async (t) => {
  if (process.getuid?.() !== 0) return t.skip("mounting a small file system needs root");
  const small = await mkdtemp(join(tmpdir(), "samescale-small-"));
  const mounted = spawnSync("mount", ["-t", "tmpfs", "-o", "size=2m", "tmpfs", small]);
  if (mounted.status !== 0) return t.skip("no small file system can be mounted here");
  t.after(async () => {
    spawnSync("umount", [small]);
    await rm(small, { recursive: true });
  });
  const desk = await libraryWithPictures(t);
  const place = join(small, "backup");
  const first = doneOrThrow(await backUp(desk, MARA, { place, secret: SECRET }));
  await takeMore(t, desk, [4_000_000]);
  await assert.rejects(backUp(desk, MARA, { place, secret: SECRET }), { code: "DISK_FULL" });
  const folder = join(await temporaryFolder(t), "back");
  const restored = await restore(MARA, { place, secret: SECRET, backup: null, folder });
  assert.equal(restored.backup, first.name);
  assert.deepEqual(restored.faults, []);
});

const pathOf = (place: string, name: string) =>
  join(place, "pieces", name.slice(0, 2), name.slice(2, 4), name);

function inFolder(place: string): PlaceUnderTest {
  return {
    wanted: { place },
    async names() {
      const names = await readdir(join(place, "pieces"), { recursive: true });
      return names.flatMap((name) => (/[0-9a-f]{64}$/.test(name) ? [name.slice(-64)] : []));
    },
    read: (name) => readFile(pathOf(place, name)),
    async write(name, bytes) {
      await rm(pathOf(place, name), { force: true });
      await writeFile(pathOf(place, name), bytes);
    },
    remove: (name) => rm(pathOf(place, name)),
  };
}

async function libraryAndPlace(t: TestContext, padding?: number) {
  const desk = await libraryWithPictures(t, padding);
  return { desk, place: join(await temporaryFolder(t), "backup") };
}
