import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { after, before, test } from "node:test";
import { encodePicture, renderPicture, standardCamera, standardScene } from "@samescale/simulator";

/** The contract of `samescale watch` on three frames: 8 % off, unreadable, no picture. */
const main = resolve(import.meta.dirname, "../src/main.ts");
let folder = "";
const run = (...args: string[]) =>
  spawnSync(process.execPath, ["--disable-warning=ExperimentalWarning", main, "watch", ...args], {
    encoding: "utf8",
  });

before(async () => {
  folder = mkdtempSync(join(tmpdir(), "samescale-watch-"));
  const frames = join(folder, "frames");
  mkdirSync(frames);
  const scene = standardScene({
    things: [{ kind: "l-scale", placement: { xMm: -24, yMm: -16 }, legMm: 60 }],
  });
  const camera = standardCamera({ widthPx: 1200, heightPx: 800, magnification: 0.25 * 1.08 });
  writeFileSync(
    join(frames, "A0001.JPG"),
    await encodePicture(await renderPicture({ scene, camera, seed: 4 }), camera),
  );
  writeFileSync(join(frames, "A0002.JPG"), Buffer.from("ffd8ffe000104a464946000101ffd9", "hex"));
  writeFileSync(join(frames, "notes.txt"), "not a picture");
});
after(() => rmSync(folder, { recursive: true }));

test("8 % too large: repeat, how far back, and the fields of the contract; an unreadable frame is a line of its own", () => {
  const { stdout, status, stderr } = run(
    join(folder, "frames"),
    "--ratio",
    "1:4",
    "--focal-mm",
    "100",
    "--once",
    "--json",
  );
  const lines = stdout
    .trim()
    .split("\n")
    .map((line) => JSON.parse(line));
  assert.equal(lines.length, 2, stdout);
  const judged = lines.find((line) => "verdict" in line);
  const unreadable = lines.find((line) => "error" in line);
  assert.equal(judged.verdict, "repeat");
  assert.equal(judged.view, "stated");
  const ratio = judged.findings.find(({ what }: { what: string }) => what === "ratio");
  // u = f(1 + 1/m): 500 mm at 1:4, 470.4 mm at 0.27 (Ray 2002): 29.6 mm back
  assert.ok(Math.abs(ratio.moveMm - 29.6) < 1.5, String(ratio.moveMm));
  assert.equal(judged.say, "Move 3 cm back.");
  assert.ok(Array.isArray(judged.notJudged) && judged.seconds > 0);
  assert.ok(unreadable.error.code && unreadable.file.endsWith("A0002.JPG"));
  assert.equal(status, 1);
  assert.match(stderr, /notes\.txt: not looked at/);
});

test("bad arguments are told before anything is watched", () => {
  const frames = join(folder, "frames");
  for (const [args, says] of [
    [[frames, "--once"], /either --request or --ratio/],
    [[frames, "--ratio", "1:4", "--once"], /with --focal-mm/],
    [[frames, "--ratio", "10", "--focal-mm", "100"], /1:10 for smaller/],
    [[frames, "--ratio", "1:4", "--focal-mm", "0"], /--focal-mm/],
    [[frames, "--ratio", "1:4", "--focal-mm", "100", "--sensor", "wide"], /--sensor/],
    [[frames, "--ratio", "1:4", "--focal-mm", "100", "--request", "R-1"], /either/],
  ] as const) {
    const { status, stderr } = run(...args);
    assert.equal(status, 2, stderr);
    assert.match(stderr, says);
  }
  const missing = run(join(folder, "nowhere"), "--ratio", "1:4", "--focal-mm", "100", "--once");
  assert.equal(missing.status, 1);
  assert.match(missing.stderr, /nowhere/);
});

test("an empty folder is answered with nothing", () => {
  const empty = join(folder, "empty");
  mkdirSync(empty);
  const { status, stdout } = run(empty, "--ratio", "1:4", "--focal-mm", "100", "--once", "--json");
  assert.equal(status, 0);
  assert.equal(stdout, "");
});
