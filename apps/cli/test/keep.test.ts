import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { chmodSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { after, test } from "node:test";

const main = resolve(import.meta.dirname, "../src/main.ts");
const folder = mkdtempSync(join(tmpdir(), "samescale-keep-"));
after(() => rmSync(folder, { recursive: true, force: true }));

/** One transparent pixel. */
const PIXEL = Buffer.from(
  "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAQAAAC1HAwCAAAAC0lEQVR42mNkYAAAAAYAAjCB0C8AAAAASUVORK5CYII=",
  "base64",
);

function samescale(...args: string[]) {
  const run = spawnSync(process.execPath, [main, ...args], { cwd: folder, encoding: "utf8" });
  return { status: run.status, out: run.stdout, err: run.stderr };
}

test("from card to backup and back: found, put aside, undone, held, backed up, put back, proved", () => {
  mkdirSync(join(folder, "card"));
  writeFileSync(join(folder, "card/DSC_0001.PNG"), PIXEL);
  assert.equal(samescale("take-in", "card").status, 0);
  const found = samescale("find", "dsc_0001", "--kind", "frame", "--json");
  assert.equal(found.status, 0, found.err);
  const [row, summary] = found.out
    .trim()
    .split("\n")
    .map((line) => JSON.parse(line));
  assert.equal(row.name, "DSC_0001");
  assert.equal(summary.summary.matches, 1);
  assert.match(samescale("find", "--only", "placed=unplaced").out, /frames: 1\n/);
  assert.equal(samescale("find", "--only", "nonsense").status, 2);
  assert.equal(samescale("find", "--kind", "frame", "--after", "' or 1=1").status, 1);
  assert.equal(samescale("trash", "put", row.id, "--because", "blurred").status, 0);
  assert.match(samescale("find", "--kind", "frame").out, /frames: 0\n/);
  assert.match(samescale("trash", "list").out, /DSC_0001/);
  assert.match(samescale("trash", "undo").out, /1 taken back/);
  assert.match(samescale("find", "--rebuild", "--kind", "frame").out, /frames: 1\n/);
  assert.equal(samescale("hold", "place", `frame/${row.id}`, "--because", "claim 7").status, 0);
  assert.match(samescale("hold", "list").out, /claim 7/);
  assert.match(samescale("retention", "finish").out, /^0 originals/);
  assert.equal(samescale("retention", "list", "--on", "2060-01-01").out, "");

  const words = join(folder, "words.txt");
  writeFileSync(words, "heron gravel lamp canoe\n");
  chmodSync(words, 0o644);
  assert.match(
    samescale("backup", "disk", "--passphrase-file", words).err,
    /others on this machine can read it/,
  );
  chmodSync(words, 0o600);
  assert.match(samescale("backup", "disk").err, /name what encrypts it/);
  const made = samescale("backup", "disk", "--passphrase-file", words);
  assert.equal(made.status, 0, made.err);
  assert.match(made.out, /The backup is whole/);
  assert.match(samescale("backup", "disk", "--list", "--passphrase-file", words).out, /1 originals/);
  const back = samescale("restore", "disk", "back", "--passphrase-file", words);
  assert.equal(back.status, 0, back.err);
  assert.match(back.out, /Everything holds/);
  assert.equal(samescale("verify", "--library", "back").status, 0);
  assert.match(samescale("find", "dsc", "--library", "back", "--kind", "frame").out, /frames: 1\n/);
  assert.match(samescale("restore", "disk", "back", "--passphrase-file", words).err, /RESTORE_PLACE_TAKEN/);
});
