import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import { chmod, mkdir, mkdtemp, readdir, readFile, rm, stat, symlink, writeFile } from "node:fs/promises";
import { hostname, tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { test } from "node:test";
import { openOriginalsFolder, originalsFolder } from "../../src/originals/folder.ts";
import { type OriginalsUnderTest, originalsContract } from "../contracts/originals-contract.ts";
import { all, bytesOf, sourceOf, temporaryFolder } from "../support.ts";

const pathIn = (root: string, sha256: string) => join(root, sha256.slice(0, 2), sha256.slice(2, 4), sha256);

async function openFolder(): Promise<OriginalsUnderTest> {
  const root = await mkdtemp(join(tmpdir(), "samescale-originals-"));
  return {
    originals: await openOriginalsFolder(root),
    again: () => openOriginalsFolder(root),
    async damage(sha256) {
      const path = pathIn(root, sha256);
      const bytes = await readFile(path);
      bytes[0] = (bytes[0] ?? 0) ^ 1;
      await chmod(path, 0o644);
      await writeFile(path, bytes);
    },
    async everything() {
      const found = await readdir(root, { recursive: true, withFileTypes: true });
      return found.filter((entry) => !entry.isDirectory()).map((entry) => entry.name);
    },
    close: () => rm(root, { recursive: true, force: true }),
  };
}

originalsContract("a folder", openFolder);

test("an original lies two folders deep under its hash, and its file cannot be written to", async (t) => {
  const root = await temporaryFolder(t);
  const originals = await openOriginalsFolder(root);
  await originals.put(sourceOf(new TextEncoder().encode("abc")));
  const path = join(root, "ba/78/ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  assert.equal((await stat(path)).mode & 0o777, 0o444);
  assert.equal((await stat(path)).nlink, 1, "the name on the way in is gone");
  assert.equal(execFileSync("sha256sum", [path], { encoding: "utf8" }).slice(0, 64), path.slice(-64));
});

test("the documented lines of shell check the originals with sha256sum alone", async (t) => {
  const root = await temporaryFolder(t);
  const originals = await openOriginalsFolder(root);
  const put = await originals.put(sourceOf(bytesOf(5000, 3)));
  await originals.put(sourceOf(bytesOf(50, 4)));
  const page = await readFile(join(import.meta.dirname, "../../../../docs/record.md"), "utf8");
  const lines = /<!-- check-originals -->\n```sh\n([\s\S]*?)```/.exec(page)?.[1];
  assert.ok(lines);
  const check = () => spawnSync("sh", ["-c", lines], { cwd: root, encoding: "utf8" });
  assert.deepEqual([check().status, check().stdout], [0, ""]);
  const path = pathIn(root, (put as { sha256: string }).sha256);
  await chmod(path, 0o644);
  await writeFile(path, bytesOf(5000, 5));
  assert.equal(check().status, 1);
  assert.match(check().stdout, /FAILED/);
});

test("leftovers of dead writers are swept, those of living ones and of other machines stay", async (t) => {
  const root = await temporaryFolder(t);
  const originals = await openOriginalsFolder(root);
  const incoming = join(root, "incoming");
  const machine = hostname().replace(/[^a-zA-Z0-9-]/g, "-");
  const dead = spawnSync(process.execPath, ["-e", ""]).pid; // ended: nobody has this number now
  const left = `${machine}.${dead}.0123456789abcdef.part`;
  const living = `${machine}.${process.ppid}.0123456789abcdef.part`;
  const elsewhere = `not-${machine}.${dead}.0123456789abcdef.part`;
  const ownButOld = `${machine}.${process.pid}.0123456789abcdef.part`;
  for (const name of [left, living, elsewhere, ownButOld, "notes.txt"])
    await writeFile(join(incoming, name), "x");
  const strays = (await all(originals.list())).map((item) =>
    item.kind === "stray" ? item.path : item.sha256,
  );
  assert.deepEqual(strays, [left, ownButOld, "notes.txt"].map((name) => join(incoming, name)).sort());
  assert.equal(await originals.sweep(), 2);
  assert.deepEqual((await readdir(incoming)).sort(), [elsewhere, living, "notes.txt"].sort());
});

test("everything that is no original is listed as a stray, and links are never followed", async (t) => {
  const root = await temporaryFolder(t);
  const outside = await temporaryFolder(t);
  const originals = await openOriginalsFolder(root);
  await originals.put(sourceOf(new TextEncoder().encode("abc")));
  const secret = join(outside, "secret");
  await writeFile(secret, "secret");
  const name = "c".repeat(64);
  await mkdir(join(root, "cc/cc"), { recursive: true });
  await mkdir(join(root, "zz"));
  await symlink(secret, join(root, "cc/cc", name));
  await writeFile(join(root, "ba/78/IMG.JPG"), "x");
  await writeFile(join(root, `ba/78/${"d".repeat(64)}`), "x");
  await writeFile(join(root, "Thumbs.db"), "x");
  await mkdir(join(root, "ba/folder"));
  const listed = await all(originals.list());
  assert.equal(listed.filter((item) => item.kind === "original").length, 1);
  assert.deepEqual(
    listed.flatMap((item) => (item.kind === "stray" ? [item.path] : [])).sort(),
    ["Thumbs.db", `ba/78/${"d".repeat(64)}`, "ba/78/IMG.JPG", "ba/folder", `cc/cc/${name}`, "zz"]
      .map((path) => join(root, path))
      .sort(),
  );
  await assert.rejects(all(originals.open(name)), { code: "ELOOP" });
  assert.equal(await originals.has(name), false);
});

test("a full disk is said to be full, and nothing half-written stays", async (t) => {
  const root = await temporaryFolder(t);
  const mounted = spawnSync("mount", ["-t", "tmpfs", "-o", "size=2m", "tmpfs", root]);
  if (mounted.status !== 0) return t.skip("mounting a small disk needs root");
  try {
    const originals = await openOriginalsFolder(join(root, "originals"));
    assert.equal((await originals.put(sourceOf(bytesOf(900_000, 1)))).state, "stored");
    await assert.rejects(originals.put(sourceOf(bytesOf(3_000_000, 2), "big", 65536)), { code: "DISK_FULL" });
    assert.deepEqual(await readdir(join(root, "originals/incoming")), []);
    assert.equal((await originals.put(sourceOf(bytesOf(900_000, 3)))).state, "stored", "space is free again");
    const listed = await all(originals.list());
    assert.deepEqual(
      listed.map((item) => item.kind),
      ["original", "original"],
    );
  } finally {
    spawnSync("umount", [root]);
  }
});

test("opening for reading makes nothing", async (t) => {
  const root = join(await temporaryFolder(t), "none");
  assert.equal(await originalsFolder(root).has("a".repeat(64)), false);
  await assert.rejects(stat(root), { code: "ENOENT" });
  assert.ok((await stat(dirname(root))).isDirectory());
});
