import assert from "node:assert/strict";
import { type ChildProcess, execFileSync, spawn, spawnSync } from "node:child_process";
import {
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
import { after, before, test } from "node:test";
import { type Demonstration, ownDemonstration } from "./demonstration.ts";

/** The whole job, as a newcomer types it. One full run serves all tests that look at what it left. */
const main = resolve(import.meta.dirname, "../src/main.ts");
const node = [process.execPath, "--disable-warning=ExperimentalWarning", main] as const;
let folder = "";
let demo = "";
let full: Demonstration;

function run(args: readonly string[]) {
  const result = spawnSync(node[0], [...node.slice(1), ...args], { encoding: "utf8", maxBuffer: 1 << 26 });
  return { status: result.status, stdout: result.stdout, stderr: result.stderr };
}

before(async () => {
  folder = mkdtempSync(join(tmpdir(), "samescale-demo-"));
  full = await ownDemonstration();
  demo = full.folder;
});
after(() => {
  for (const made of [folder, demo]) rmSync(made, { recursive: true });
});

test("the demonstration ends well and says what it did", () => {
  assert.equal(full.status, 0, `${full.stdout}\n${full.stderr}`);
  assert.match(full.stdout, /Department, patients and pictures are invented/);
  assert.doesNotMatch(full.stderr, /^\s+at /m);
});

test("every fault that was planted is found and named", () => {
  const planted = full.stdout.split("Planted faults:")[1]?.split("Series:")[0] ?? "";
  assert.equal(planted.match(/found {6}/g)?.length, 6, planted);
  assert.doesNotMatch(planted, /NOT FOUND/);
  for (const words of [
    "3 h 12 min ahead",
    "made at 1:5, planned 1:4",
    "leans 12°",
    "12 mm above",
    "no label frame",
  ]) {
    assert.ok(planted.includes(words), words);
  }
});

test("at the bedside the two wrong frames are named, their repeats kept, and the next visit planned from them", () => {
  const session = sessionIn(full.stdout);
  assert.match(session, /↻ repeat {2}Move 3 cm back\. \(1:3\.7, planned 1:4\)/);
  assert.match(session, /↻ repeat {2}Swing the camera round the subject by 8° to the right and 9°/);
  assert.equal(session.match(/● keep/g)?.length, 3, session);
  assert.match(
    full.stdout,
    /Next visit of R-108, planned from what was really done:\n {2}Close-up with L-scale: 1:4/,
  );
});

test("the session in docs/watch.md is the one that the demonstration shows", () => {
  const page = readFileSync(resolve(import.meta.dirname, "../../../docs/watch.md"), "utf8");
  const shown = page.match(/<!-- session -->\n```\n([\s\S]*?)```/)?.[1] ?? "";
  assert.equal(timesMasked(shown), timesMasked(sessionIn(full.stdout)));
});

test("every ratio read at a lean of up to 10 degrees is within 1 % of the truth, and areas within their intervals", () => {
  const ratios = full.stdout.match(/up to 10°[^:]*\): (\d+) of (\d+)/);
  const areas = full.stdout.match(/inside the stated interval[^:]*: (\d+) of (\d+)/);
  assert.ok(ratios && areas);
  assert.equal(ratios[1], ratios[2]);
  assert.equal(areas[1], areas[2]);
  assert.ok(Number(ratios[2]) >= 17 && Number(areas[2]) >= 11);
});

test("the library it leaves verifies, and a changed byte in an original is named", () => {
  const library = join(demo, "library");
  assert.equal(run(["verify", "--library", library]).status, 0);
  const copy = join(folder, "harmed");
  execFileSync("cp", ["-a", library, copy]);
  const original = readdirSync(join(copy, "originals"), { recursive: true, encoding: "utf8" }).find((name) =>
    /[0-9a-f]{64}$/.test(name),
  ) as string;
  const path = join(copy, "originals", original);
  execFileSync("chmod", ["u+w", path]);
  const bytes = readFileSync(path);
  bytes[bytes.length >> 1] = (bytes[bytes.length >> 1] as number) ^ 1;
  writeFileSync(path, bytes);
  const verified = run(["verify", "--library", copy]);
  assert.equal(verified.status, 1);
  assert.ok(verified.stdout.includes(original.slice(-64)), verified.stdout);
});

test("the reports that left are whole, each on a receipt, and nobody's name is in them", () => {
  const reports = readdirSync(join(demo, "released", "reports"));
  assert.ok(reports.includes("R-101-close-up.pdf"), reports.join());
  for (const report of reports) {
    const bytes = readFileSync(join(demo, "released", "reports", report));
    assert.doesNotMatch(bytes.toString("latin1"), /Marlowe|FH204118/);
    if (!report.endsWith(".pdf")) continue;
    assert.equal(bytes.subarray(0, 5).toString(), "%PDF-");
    assert.match(bytes.subarray(-8).toString("latin1"), /%%EOF/);
  }
});

test("what left for record, teaching and evidence lies where the contract says; what consent did not reach does not", () => {
  const released = (folder: string) => readdirSync(join(demo, "released", folder));
  const folders = readdirSync(join(demo, "released")).filter((name) => !name.startsWith("."));
  assert.deepEqual(folders.sort(), ["dicom", "evidence", "fhir", "reports", "teaching"]);
  assert.ok(released("dicom").some((name) => name.endsWith(".dcm")));
  assert.ok(released("fhir").some((name) => name.endsWith(".json") && !name.startsWith("receipt")));
  assert.ok(released("teaching").some((name) => name.endsWith(".jpg")));
  assert.match(full.stdout, /R-102 to the editors .* NOT RELEASED\. .*was refused on/);
  assert.match(full.stdout, /withdraws consent for teaching; to be asked back: course for ward nurses/);
  assert.match(full.stdout, /NOT RELEASED\. .*teaching was withdrawn on/);
});

// The shell lines are the bag's own: sha256sum and openssl, none of our programs.
const canCheck = spawnSync("openssl", ["version"]).status === 0;
test("the evidence bag's own page finds nothing wrong with it, and one changed byte", {
  skip: canCheck ? false : "openssl is not on this machine",
}, () => {
  const bag = join(demo, "released", "evidence");
  const lines = readFileSync(join(bag, "CHECK-THIS.txt"), "utf8")
    .split("\n")
    .filter((line) => line.startsWith("    "))
    .join("\n");
  const check = () => spawnSync("sh", ["-c", lines], { cwd: bag, encoding: "utf8" }).stdout;
  const said = check();
  assert.doesNotMatch(said, /FAULT/);
  assert.match(said, /lines compared with data\/log\/heads/);
  const [original = ""] = readdirSync(join(bag, "data", "originals"));
  const file = join(bag, "data", "originals", original);
  const bytes = readFileSync(file);
  const changed = Buffer.from(bytes);
  changed[100] = changed.readUInt8(100) ^ 1;
  writeFileSync(file, changed);
  assert.match(check(), /FAULT: a file was changed/);
  writeFileSync(file, bytes);
});

test("made a second time in the same folder it begins anew; any other folder is left alone", () => {
  const other = join(folder, "other");
  mkdirSync(other);
  writeFileSync(join(other, "thesis.txt"), "mine");
  const refused = run(["demo", "--no-serve", "--dir", other]);
  assert.equal(refused.status, 1);
  assert.match(refused.stderr, /DEMO_FOLDER_IN_USE/);
  assert.deepEqual(readdirSync(other), ["thesis.txt"]);
});

test("Ctrl-C in the middle ends with 130 and leaves no half-written picture or document", async () => {
  const stopped = join(folder, "stopped");
  const child = spawn(node[0], [...node.slice(1), "demo", "--no-serve", "--dir", stopped], {
    stdio: "ignore",
  });
  // Somewhere among the pictures, however busy the machine is.
  while (filesUnder(join(stopped, "cards")).length < 3) await new Promise((done) => setTimeout(done, 50));
  child.kill("SIGINT");
  assert.equal(await exitOf(child), 130);
  for (const name of filesUnder(join(stopped, "cards"))) {
    const bytes = readFileSync(name);
    assert.equal(bytes.subarray(-2).toString("hex"), "ffd9", `${name} is a whole JPEG`);
  }
  assert.deepEqual(filesUnder(join(stopped, "released")), []);
});

const mayMount = process.getuid?.() === 0 && spawnSync("mount", ["--version"]).status === 0;
test("a full disk is told in two lines, never as a stack trace", {
  skip: mayMount ? false : "only root can mount a small disk for this",
}, () => {
  const small = join(folder, "small");
  mkdirSync(small);
  const mounted = spawnSync("mount", ["-t", "tmpfs", "-o", "size=1m", "tmpfs", small]);
  if (mounted.status !== 0) return; // no right to mount here after all
  try {
    const result = run(["demo", "--no-serve", "--dir", join(small, "demo")]);
    assert.equal(result.status, 1);
    assert.match(result.stderr, /DISK_FULL/);
    assert.doesNotMatch(result.stderr, /^\s+at /m);
  } finally {
    execFileSync("umount", [small]);
  }
});

test("serving a library: one line says where, the application is there, Ctrl-C ends it", async () => {
  const child = spawn(
    node[0],
    [...node.slice(1), "serve", "--library", join(demo, "library"), "--port", "0"],
    {
      stdio: ["ignore", "pipe", "inherit"],
    },
  );
  try {
    const line = await new Promise<string>((done) => child.stdout.once("data", (data) => done(String(data))));
    const url = line.match(/^Open (http:\/\/127\.0\.0\.1:\d+\/)\n$/)?.[1];
    assert.ok(url, line);
    const page = await (await fetch(url)).text();
    assert.match(page, /<title>Samescale<\/title>/);
    const script = page.match(/src="(\/assets\/[^"]+\.js)"/)?.[1] as string;
    assert.equal((await fetch(new URL(script, url))).status, 200);
    const me = (await (await fetch(new URL("/api/people/me", url))).json()) as Record<string, unknown>;
    assert.equal(me.isDemonstration, true);
    assert.equal(me.department, "Clinical Photography, Fernhill Infirmary");
  } finally {
    child.kill("SIGINT");
    assert.equal(await exitOf(child), 0);
  }
});

const sessionIn = (stdout: string): string =>
  stdout
    .match(/At the bedside[\s\S]*?\n\n/)?.[0]
    .trimEnd()
    .concat("\n") ?? "";
const timesMasked = (text: string): string => text.replaceAll(/\d+\.\d s$/gm, "0.0 s");

const exitOf = (child: ChildProcess): Promise<number | null> =>
  new Promise((done) =>
    child.exitCode !== null ? done(child.exitCode) : child.once("exit", (code) => done(code)),
  );

function filesUnder(path: string): string[] {
  if (!existsSync(path)) return [];
  return readdirSync(path, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name));
}
