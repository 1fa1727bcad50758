import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { after, test } from "node:test";
import type { LabelAnswer, ScaleFound } from "@samescale/picture";

const MAIN = resolve(import.meta.dirname, "../src/main.ts");
const folder = mkdtempSync(join(tmpdir(), "samescale-print-scale-"));
after(() => rmSync(folder, { recursive: true }));

const hasPoppler = spawnSync("pdftoppm", ["-v"]).error === undefined;
const skip = hasPoppler ? false : "pdftoppm is not on this machine (Debian package poppler-utils)";

const run = (...args: string[]) =>
  spawnSync(process.execPath, [MAIN, ...args], { encoding: "utf8", cwd: folder });

interface Printed {
  readonly ids: readonly string[];
}

function print(out: string, ...args: string[]): Printed {
  const { status, stdout, stderr } = run("print-scale", ...args, "--out", out, "--json");
  assert.equal(status, 0, stderr);
  return JSON.parse(stdout) as Printed;
}

test("a printed page, scanned: the code gives the id and the graduations the true size", { skip }, () => {
  const { ids } = print("one.pdf", "straight-150");
  const DPI = 300;
  execFileSync("pdftoppm", ["-r", String(DPI), "-singlefile", "-png", "one.pdf", "one"], { cwd: folder });
  const label = JSON.parse(run("label", "one.png", "--json").stdout) as LabelAnswer;
  assert.deepEqual(
    label.codes.map(({ text }) => text),
    [`SS1:${ids[0]}`],
  );
  const read = JSON.parse(run("scale", "one.png", "--json").stdout) as ScaleFound;
  assert.ok(read.found);
  const longest = read.scales.find(({ coverageMm }) => coverageMm > 140);
  assert.ok(longest, "the 150 mm edge was not read");
  // By the page's own size in dots: 300 to the inch. A tenth of a percent is 0.15 mm over the scale.
  assert.ok(Math.abs(longest.pxPerMm.value / (DPI / 25.4) - 1) < 0.001, String(longest.pxPerMm.value));
});

test("ids are drawn anew, or printed again when they are given", () => {
  const { ids } = print("many.pdf", "straight-50", "--count", "30");
  assert.equal(new Set(ids).size, 30);
  assert.deepEqual(print("again.pdf", "straight-50", "--id", ...ids.slice(0, 2)).ids, ids.slice(0, 2));
});

test("a file that is there is not written over without saying so", () => {
  const file = join(folder, "there.pdf");
  writeFileSync(file, "mine");
  const { status, stderr } = run("print-scale", "l", "--out", "there.pdf");
  assert.equal(status, 1);
  assert.match(stderr, /OUTPUT_EXISTS/);
  assert.equal(readFileSync(file, "utf8"), "mine");
  print("there.pdf", "l", "--replace");
  assert.ok(statSync(file).size > 1000);
});

for (const args of [
  ["print-scale", "ruler", "--out", "x.pdf"],
  ["print-scale", "l"],
  ["print-scale", "l", "--out", "x.pdf", "--paper", "a3"],
  ["print-scale", "l", "--out", "x.pdf", "--count", "0"],
  ["print-scale", "l", "--out", "x.pdf", "--count", "-3"],
  ["print-scale", "l", "--out", "x.pdf", "--count", "2.5"],
  ["print-scale", "l", "--out", "x.pdf", "--count", "1e9"],
  ["print-scale", "l", "--out", "x.pdf", "--id", "../../etc/passwd"],
  ["print-scale", "l", "--out", "x.pdf", "--id", "\u001b]0;owned\u0007"],
  ["calibrate-scale", "--across-mm", "100"],
  [
    "calibrate-scale",
    "A2222222",
    "--across-mm",
    "100",
    "--by",
    "a",
    "--instrument",
    "b",
    "--resolution-mm",
    "1",
  ],
  ["calibrate-scale", "rule-1", "--measured-mm", "150"],
]) {
  test(`refused as typed wrongly: ${JSON.stringify(args.join(" "))}`, () => {
    const { status, stderr } = run(...args);
    assert.equal(status, 2, stderr);
    assert.ok(!stderr.includes("\u001b") && !/\bat .*\.ts:\d/.test(stderr), stderr);
    assert.ok(!existsSync(join(folder, "x.pdf")) && !existsSync(join(folder, "calibrated-scales.json")));
  });
}

const HOW = ["--by", "A. Name", "--instrument", "steel rule, 0.5 mm", "--resolution-mm", "0.25"];

test("measured, measured again, withdrawn: the record says it all", () => {
  const { ids } = print("kept.pdf", "l", "--count", "2");
  const record = (...args: string[]) => run("calibrate-scale", ...args, "--file", "kept.json");
  const lines = ["--across-mm", "99.8", "--along-mm", "100.1", "--printed-on", "2026-01-02"];
  const first = record(...ids, ...lines, ...HOW, "--on", "2026-01-03");
  assert.equal(first.status, 0, first.stderr);
  // As it may be typed from the print: small letters and a gap.
  const typed = `${ids[0]?.slice(0, 4).toLowerCase()} ${ids[0]?.slice(4)}`;
  assert.equal(record(typed, ...lines, ...HOW, "--on", "2026-01-04").status, 0);
  assert.equal(record(ids[1] as string, "--withdraw", "torn", "--on", "2026-01-05").status, 0);
  const { scales } = JSON.parse(readFileSync(join(folder, "kept.json"), "utf8"));
  const [one, two] = ids.map((id) => scales.find((scale: { id: string }) => scale.id === id));
  assert.equal(one.measurements.length, 2);
  assert.equal(one.measurements[0].dueOn, "2027-01-03");
  assert.deepEqual([one.state, two.state, two.withdrawn.why], ["in use", "withdrawn", "torn"]);
});

test("a page that is 3 % short asks to be printed again, a day to come is refused; nothing is written", () => {
  const { ids } = print("short.pdf", "labels");
  const record = (...args: string[]) =>
    run("calibrate-scale", ids[0] as string, "--file", "short.json", ...HOW, ...args);
  const short = record("--across-mm", "97");
  assert.equal(short.status, 1);
  assert.match(short.stderr, /3\.00 %[\s\S]*print again[\s\S]*CALIBRATION_REFUSED/);
  assert.match(record("--across-mm", "100", "--on", "2999-01-01").stderr, /has not come/);
  assert.match(record("--across-mm", "Infinity").stderr, /BAD_ARGUMENTS/);
  assert.ok(!existsSync(join(folder, "short.json")) && !existsSync(join(folder, "short.json.part")));
});
