import assert from "node:assert/strict";
import { execFileSync, spawn, spawnSync } from "node:child_process";
import {
  chmodSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { after, test } from "node:test";

const main = resolve(import.meta.dirname, "../src/main.ts");
const folder = mkdtempSync(join(tmpdir(), "samescale-cli-"));
after(() => rmSync(folder, { recursive: true, force: true }));

/** One transparent pixel; bytes behind the end of a PNG are ignored, so each number makes another file. */
const PIXEL = Buffer.from(
  "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAQAAAC1HAwCAAAAC0lEQVR42mNkYAAAAAYAAjCB0C8AAAAASUVORK5CYII=",
  "base64",
);
const picture = (nth: number, padding = 0) => Buffer.concat([PIXEL, Buffer.alloc(padding + 1, String(nth))]);

function cardOf(name: string, files: Readonly<Record<string, Buffer>>): string {
  const card = join(folder, name);
  mkdirSync(card);
  for (const [file, bytes] of Object.entries(files)) writeFileSync(join(card, file), bytes);
  return card;
}

/** A practice to begin with, and a line of its own. */
function practiceWith(name: string, line: string): string {
  const practice = join(folder, name);
  assert.equal(samescale(["practice", "start", practice]).status, 0);
  const file = join(practice, "department.yaml");
  writeFileSync(file, `${readFileSync(file, "utf8")}\n${line}\n`);
  return practice;
}

/** Compiled code is kept between the many starts of these tests. */
const quick = { ...process.env, SAMESCALE_LIBRARY: "", NODE_COMPILE_CACHE: join(folder, "compiled") };

function samescale(args: readonly string[], env: Record<string, string> = {}) {
  const run = spawnSync(process.execPath, [main, ...args], {
    cwd: folder,
    encoding: "utf8",
    env: { ...quick, ...env },
  });
  const lines = () =>
    run.stdout
      .split("\n")
      .slice(0, -1)
      .map((line) => JSON.parse(line));
  return { status: run.status, stdout: run.stdout, stderr: run.stderr, lines };
}

test("take-in answers one line per file and a summary, nothing on standard error, and verify agrees", () => {
  const card = cardOf("first", {
    "A 1.png": picture(1),
    "B.png": picture(2),
    "notes.txt": Buffer.from("ward 7"),
  });
  const taken = samescale(["take-in", card, "--library", "first-library", "--json"]);
  assert.equal(taken.stderr, "");
  assert.equal(taken.status, 0);
  const [a, b, notes, last] = taken.lines();
  assert.equal(a.sha256, execFileSync("sha256sum", [a.file], { encoding: "utf8" }).slice(0, 64));
  assert.deepEqual(
    [a.file, a.state, a.bytes, a.reason],
    [join(card, "A 1.png"), "stored", PIXEL.length + 1, null],
  );
  assert.equal(b.state, "stored");
  assert.deepEqual([notes.state, notes.sha256], ["not-a-picture", null]);
  assert.deepEqual(
    [last.summary.files, last.summary.stored, last.summary.unplaced, last.summary.cardMayBeErased],
    [3, 2, 2, false],
  );
  const verified = samescale(["verify", "--library", "first-library", "--json"]);
  assert.equal(verified.status, 0);
  const [{ summary }] = verified.lines();
  assert.deepEqual([summary.originals, summary.faults, summary.holds], [2, 0, true]);
  const withHead = samescale(["verify", "--library", "first-library", "--head", summary.head]);
  assert.equal(withHead.status, 0);
  assert.match(withHead.stdout, /^Everything holds: 2 originals/);
});

test("with a second place in the practice every file is kept twice, and the card may be erased", () => {
  const practice = practiceWith("twice", "secondPlace: ../twice-second");
  mkdirSync(join(folder, "twice-second"));
  const card = cardOf("twice-card", { "A.png": picture(20), "A.xmp": Buffer.from("<x:xmpmeta>") });
  const args = ["take-in", card, "--library", "twice-library", "--practice", practice];
  const [a, sidecar, last] = samescale([...args, "--json"]).lines();
  assert.deepEqual(
    [a.kind, a.copies, sidecar.kind, sidecar.copies, sidecar.state],
    ["picture", 2, "sidecar", 2, "stored"],
  );
  assert.equal(last.summary.cardMayBeErased, true);
  assert.ok(existsSync(join(folder, "twice-second/originals", a.sha256.slice(0, 2))));
  const { stdout } = samescale(args);
  assert.match(stdout, /A\.png: was in the library already, compared, at the second place too/);
  assert.match(
    stdout,
    /The card may be erased: All 2 files on it are in the library and at the second place/,
  );
});

test("a fault is one line that names it, and the exit status is 1", () => {
  const card = cardOf("second", { "a.png": picture(3) });
  const [{ sha256 }] = samescale(["take-in", card, "--library", "second-library", "--json"]).lines();
  const path = join(folder, "second-library/originals", sha256.slice(0, 2), sha256.slice(2, 4), sha256);
  chmodSync(path, 0o644);
  const bytes = readFileSync(path);
  bytes[40] = (bytes[40] ?? 0) ^ 1;
  writeFileSync(path, bytes);
  const verified = samescale(["verify", "--library", "second-library", "--json"]);
  assert.equal(verified.status, 1);
  const [fault, { summary }] = verified.lines();
  assert.deepEqual([fault.where, fault.subject], ["original", sha256]);
  assert.deepEqual([summary.faults, summary.holds], [1, false]);
  assert.match(
    samescale(["verify", "--library", "second-library"]).stdout,
    /^original [0-9a-f]{64}: its bytes were changed/,
  );
});

test("the library is where --library says, else $SAMESCALE_LIBRARY, else ./library", () => {
  const card = cardOf("third", { "a.png": picture(4) });
  assert.equal(samescale(["take-in", card, "--json"], { SAMESCALE_LIBRARY: "by-environment" }).status, 0);
  assert.ok(existsSync(join(folder, "by-environment/samescale.db")));
  const nowhere = samescale(["verify"]);
  assert.equal(nowhere.status, 1);
  assert.match(nowhere.stderr, /There is no library at library\n.*\[LIBRARY_MISSING\]/);
});

test("a card that is not there is a line with an error, exit status 1; no card at all is status 2", () => {
  const gone = samescale(["take-in", "no-card", "--library", "gone-library", "--json"]);
  assert.equal(gone.status, 1);
  const [line, last] = gone.lines();
  assert.deepEqual([line.file, line.error.code], ["no-card", "FILE_MISSING"]);
  assert.equal(last.summary.cardMayBeErased, false);
  assert.equal(samescale(["take-in"]).status, 2);
  assert.equal(samescale(["verify", "--head", "17"]).status, 2);
  assert.equal(samescale(["verify", "--nonsense"]).status, 2);
});

test("a folder of other things is no library and is left alone", () => {
  const other = cardOf("holiday", { "a.png": picture(5) });
  const card = cardOf("fourth", { "b.png": picture(6) });
  const taken = samescale(["take-in", card, "--library", other, "--json"]);
  assert.deepEqual([taken.status, taken.stdout], [1, ""]);
  assert.match(taken.stderr, /is not a library: it holds other things/);
  assert.deepEqual(readdirSync(other), ["a.png"]);
});

test("no library is made on the card", () => {
  const card = cardOf("whole-disk", { "a.png": picture(9) });
  const taken = samescale(["take-in", card, "--library", join(card, "deep/library")]);
  assert.equal(taken.status, 1);
  assert.match(taken.stderr, /\[CARD_AND_LIBRARY_MIXED\]/);
  assert.deepEqual(readdirSync(card), ["a.png"]);
});

test("the log is written to a new file only, closed to others, and sha256sum checks it", () => {
  const card = cardOf("fifth", { "a.png": picture(7) });
  samescale(["take-in", card, "--library", "fifth-library"]);
  const verified = samescale(["verify", "--library", "fifth-library", "--log", "custody.log", "--json"]);
  assert.equal(verified.status, 0);
  const page = readFileSync(resolve(import.meta.dirname, "../../../docs/record.md"), "utf8");
  const check = /<!-- check-log -->\n```sh\n([\s\S]*?)```/.exec(page)?.[1] ?? "exit 9";
  const head = execFileSync("sh", ["-c", check], { cwd: folder, encoding: "utf8" }).trim();
  assert.equal(head, verified.lines().at(-1).summary.head);
  const again = samescale(["verify", "--library", "fifth-library", "--log", "custody.log"]);
  assert.equal(again.status, 2);
  assert.match(again.stderr, /custody\.log exists already/);
});

test("names on the card cannot steer the terminal", () => {
  const card = cardOf("sixth", { "\u001b[2J evil.png": picture(8), "not\u202egnp.txt": Buffer.from("text") });
  const { stdout } = samescale(["take-in", card, "--library", "sixth-library"]);
  assert.doesNotMatch(stdout, /[\u001b\u202e]/);
  assert.match(stdout, /\\u001b\[2J evil\.png: stored/);
});

test("Ctrl-C in the middle: exit status 130, nothing half-written, and the same command goes on", async () => {
  const shots = Array.from(
    { length: 40 },
    (_, nth) => [`DSC_${1000 + nth}.png`, picture(nth, 1_500_000)] as const,
  );
  const card = cardOf("seventh", Object.fromEntries(shots));
  const practice = practiceWith("one-copy", "secondPlace: none");
  const child = spawn(process.execPath, [main, "take-in", card, "--library", "seventh-library", "--json"], {
    cwd: folder,
    env: quick,
  });
  let out = "";
  child.stdout.on("data", (piece) => {
    if (out === "") child.kill("SIGINT");
    out += piece;
  });
  const status = await new Promise((ended) => child.on("close", ended));
  assert.equal(status, 130);
  const said = out
    .split("\n")
    .slice(0, -1)
    .map((line) => JSON.parse(line));
  assert.ok(said.length < 41 && said.every((line) => line.state === "stored"), `${said.length} lines`);
  assert.deepEqual(readdirSync(join(folder, "seventh-library/originals/incoming")), []);
  const on = samescale(["take-in", card, "--library", "seventh-library", "--practice", practice, "--json"])
    .lines()
    .at(-1).summary;
  assert.equal(on.stored + on.already, 40);
  assert.ok(on.already >= said.length);
  assert.equal(on.cardMayBeErased, true);
  assert.equal(samescale(["verify", "--library", "seventh-library"]).status, 0);
});

test("a reader that stops early leaves nothing half-written", () => {
  const shots = Array.from(
    { length: 12 },
    (_, nth) => [`DSC_${1000 + nth}.png`, picture(50 + nth, 500_000)] as const,
  );
  const card = cardOf("eighth", Object.fromEntries(shots));
  const typed = `"${process.execPath}" "${main}" take-in "${card}" --library eighth-library --json | head -n 1`;
  const { stdout, stderr } = spawnSync("sh", ["-c", typed], { cwd: folder, encoding: "utf8", env: quick });
  assert.equal(stdout.split("\n").length, 2);
  assert.equal(stderr, "");
  assert.deepEqual(readdirSync(join(folder, "eighth-library/originals/incoming")), []);
  assert.equal(samescale(["take-in", card, "--library", "eighth-library"]).status, 0);
  assert.equal(samescale(["verify", "--library", "eighth-library"]).status, 0);
});
