import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { after, before, test } from "node:test";
import type { ScaleAnswer, ScaleFound } from "@samescale/picture";
import { renderPicture, standardCamera, standardScene, type Thing, writePicture } from "@samescale/simulator";

const MAIN = resolve(import.meta.dirname, "../src/main.ts");
const folder = mkdtempSync(join(tmpdir(), "samescale-scale-"));
after(() => rmSync(folder, { recursive: true }));

function scale(...args: string[]) {
  return spawnSync(process.execPath, [MAIN, "scale", ...args], { encoding: "utf8" });
}

function lines(...args: string[]): ScaleAnswer[] {
  const { status, stdout, stderr } = scale(...args, "--json");
  assert.equal(status, 0, stderr);
  return stdout
    .trimEnd()
    .split("\n")
    .map((line) => JSON.parse(line) as ScaleAnswer);
}

interface Shown {
  readonly file: string;
  /** The camera's, where its axis meets the skin. */
  readonly magnification: number;
  readonly leanDeg: number;
  readonly kind: "straight" | "L" | null;
}

const straight = (lengthMm: number): Thing => ({
  kind: "straight-scale",
  placement: { xMm: 0, yMm: 0, rotateDeg: 12 },
  lengthMm,
  edges: ["mm"],
});
const legs = (legMm: number): Thing => ({
  kind: "l-scale",
  placement: { xMm: -0.4 * legMm, yMm: -0.35 * legMm, rotateDeg: 5 },
  legMm,
});

// Rendered pictures: an exact camera over skin, with sensor noise, JPEG and the camera's own data in the file.
const shots: [
  name: string,
  kind: Shown["kind"],
  things: Thing[],
  magnification: number,
  leanX: number,
  leanY: number,
][] = [
  ["square-on", "straight", [straight(100)], 1 / 4, 0, 0],
  ["lean-10", "straight", [straight(140)], 1 / 8, 6, 8],
  ["l-square-on", "L", [legs(40)], 1 / 3, 0, 0],
  ["l-lean-20", "L", [legs(80)], 1 / 6, -12, 16],
  ["no-scale", null, [], 1 / 6, 4, 0],
];
const shown: Shown[] = [];

before(async () => {
  for (const [name, kind, things, magnification, leanXDeg, leanYDeg] of shots) {
    const camera = standardCamera({ widthPx: 1500, heightPx: 1000, magnification, leanXDeg, leanYDeg });
    const picture = await renderPicture({ scene: standardScene({ things }), camera, seed: shown.length + 1 });
    const file = join(folder, `${name}.jpg`);
    await writePicture(file, picture, camera);
    shown.push({ file, kind, magnification, leanDeg: picture.truth.surface.leanDeg });
  }
});

test("the ratio is read within 1 % of what the camera was set to, up to 20 degrees, and the lean within 1 degree from an L", () => {
  const answers = lines(...shown.map((s) => s.file));
  answers.forEach((answer, i) => {
    const { file, kind, magnification, leanDeg } = shown[i]!;
    assert.equal(answer.file, file, "input order");
    if (kind === null) {
      assert.ok(!answer.found);
      return;
    }
    assert.ok(answer.found, file);
    assert.deepEqual(answer.warnings, []);
    assert.equal(answer.scales[0]!.kind, kind);
    const ratio = answer.reproductionRatio!;
    assert.ok(Math.abs(ratio.value / magnification - 1) < 0.01, `${file}: 1:${1 / ratio.value}`);
    assert.ok(Math.abs(ratio.value - magnification) <= ratio.u95, `${file}: the interval holds the truth`);
    if (kind === "straight") assert.equal(answer.plane, null);
    else {
      const tilt = answer.plane!.tiltDeg;
      assert.ok(Math.abs(tilt.value - leanDeg) <= 1, `${file}: ${tilt.value} for ${leanDeg} degrees`);
    }
  });
});

test("every field of the contract is there", () => {
  const [answer] = lines(shown[3]!.file) as ScaleFound[];
  for (const field of [
    "file",
    "widthPx",
    "heightPx",
    "found",
    "scales",
    "plane",
    "reproductionRatio",
    "warnings",
  ]) {
    assert.ok(field in answer!, field);
  }
  for (const field of ["kind", "unit", "pxPerMm", "at", "axisDeg", "ticks", "coverageMm", "residualPx"]) {
    assert.ok(field in answer!.scales[0]!, field);
  }
  const { axisDeg, ticks, coverageMm } = answer!.scales[0]!;
  assert.ok(axisDeg > -90 && axisDeg <= 90);
  assert.equal(ticks[0]!.mm, 0);
  assert.equal(ticks.at(-1)!.mm, coverageMm);
  const [none] = lines(shown[4]!.file);
  assert.deepEqual(Object.keys(none!), ["file", "sha256", "widthPx", "heightPx", "found", "reason"]);
});

test("for a person it says the ratio, the lean and the reason in plain words", () => {
  const { stdout } = scale(shown[3]!.file, shown[4]!.file);
  assert.match(stdout, /l-lean-20\.jpg: 1:\d\.\d+ ± \d\.\d+, leans (19|20)° ± \d°/);
  assert.match(stdout, /leg of an L-shaped scale in mm, \d+ graduations/);
  assert.match(stdout, /no-scale\.jpg: no scale read\. .*two points/);
});

test("the sensor's width and a person's two points are taken from the command line", () => {
  const file = shown[0]!.file;
  const [plain] = lines(file) as ScaleFound[];
  const [half] = lines(file, "--sensor-width-mm", "18") as ScaleFound[];
  assert.ok(Math.abs(plain!.reproductionRatio!.value / half!.reproductionRatio!.value - 2) < 0.02);
  const [a, b] = [plain!.scales[0]!.ticks[5]!, plain!.scales[0]!.ticks[85]!];
  const [marked] = lines(file, "--two-points", [a.x + 2, a.y, b.x, b.y - 2, 80].join(",")) as ScaleFound[];
  assert.equal(marked!.scales[0]!.coverageMm, 80);
  assert.deepEqual(marked!.warnings, []);
});

test("a kind of scale that a person names is taken, and stored as a person's", () => {
  const [named] = lines(shown[0]!.file, "--scale-kind", "mm") as ScaleFound[];
  assert.equal(named!.scales[0]!.unitFrom, "person");
  assert.equal(named!.recipe.parameters.scaleKind, "mm");
  const [plain] = lines(shown[0]!.file) as ScaleFound[];
  assert.equal(plain!.scales[0]!.unitFrom, "graduations");
  assert.match(scale(shown[0]!.file, "--scale-kind", "mm").stdout, /in mm \(as you said\)/);
  const { status, stderr } = scale(shown[0]!.file, "--scale-kind", "furlong");
  assert.equal(status, 2);
  assert.match(stderr, /blocks-10mm/);
});

test("what cannot be understood ends with status 2 and says how to type it", () => {
  for (const args of [
    ["--near", "12"],
    ["--two-points", "1,2,3,4"],
    ["--two-points", "1,2,1,2,50"],
    ["--two-points", "1,2,3,4,-5"],
    ["--sensor-width-mm", "0"],
  ]) {
    const { status, stderr, stdout } = scale(shown[0]!.file, ...args);
    assert.equal(status, 2, args.join(" "));
    assert.match(stderr, /Type .*\[BAD_ARGUMENTS\]/);
    assert.equal(stdout, "");
  }
});

test("a missing file has its error line and the others are still answered", () => {
  const { status, stdout } = scale(join(folder, "absent.jpg"), shown[4]!.file, "--json");
  assert.equal(status, 1);
  const [first, second] = stdout
    .trimEnd()
    .split("\n")
    .map((line) => JSON.parse(line));
  assert.equal(first.error.code, "FILE_MISSING");
  assert.equal(second.found, false);
});
