import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import { fitsZip, storedZip, type ZipFile } from "../../src/index.ts";

const fileOf = (name: string, content: Buffer): ZipFile => ({
  name,
  bytes: content.length,
  async *open() {
    yield content.subarray(0, 3);
    yield content.subarray(3);
  },
});
const WHEN = new Date("2026-06-10T08:30:04Z");
const HAS_PYTHON = spawnSync("python3", ["--version"]).status === 0;

async function bytesOf(files: readonly ZipFile[]): Promise<Buffer> {
  const pieces: Uint8Array[] = [];
  for await (const piece of storedZip(files, WHEN)) pieces.push(piece);
  return Buffer.concat(pieces);
}

test("another program's reader finds every file, byte for byte, also in folders and with no bytes at all", {
  skip: !HAS_PYTHON && "python3 is not on this machine",
}, async (t) => {
  const folder = await mkdtemp(join(tmpdir(), "samescale-zip-"));
  t.after(() => rm(folder, { recursive: true, force: true }));
  const contents = {
    "a-001.jpg": Buffer.from(Array.from({ length: 70_000 }, (_, i) => (i * i) % 251)),
    "data/originals/0001-x.txt": Buffer.from("invented\n"),
    "ünd.txt": Buffer.alloc(0),
  };
  const path = join(folder, "x.zip");
  await writeFile(path, await bytesOf(Object.entries(contents).map(([name, bytes]) => fileOf(name, bytes))));
  const script =
    "import zipfile,sys,hashlib,json\nz=zipfile.ZipFile(sys.argv[1])\nassert z.testzip() is None\n" +
    "print(json.dumps([[i.filename,hashlib.sha256(z.read(i)).hexdigest(),list(i.date_time)] for i in z.infolist()]))";
  const read = spawnSync("python3", ["-c", script, path], { encoding: "utf8" });
  assert.equal(read.status, 0, read.stderr);
  const { createHash } = await import("node:crypto");
  const expected = Object.entries(contents).map(([name, bytes]) => [
    name,
    createHash("sha256").update(bytes).digest("hex"),
    [2026, 6, 10, 8, 30, 4],
  ]);
  assert.deepEqual(JSON.parse(read.stdout), expected);
});

test("a file that changes between the two readings is said, and what is too large for the format is known before", async () => {
  let times = 0;
  const changing: ZipFile = {
    name: "x",
    bytes: 1,
    async *open() {
      yield Buffer.from([times++]);
    },
  };
  await assert.rejects(bytesOf([changing]), /x changed while it was read/);
  assert.equal(fitsZip([{ bytes: 4_000_000_000 }]), true);
  assert.equal(fitsZip([{ bytes: 4_000_000_000 }, { bytes: 400_000_000 }]), false);
  assert.equal(fitsZip(Array.from({ length: 65_001 }, () => ({ bytes: 1 }))), false);
});
