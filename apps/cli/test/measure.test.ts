import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { after, before, test } from "node:test";
import type { MeasureAnswer, NotMeasured } from "@samescale/picture";
import { renderPicture, standardCamera, standardScene, writePicture } from "@samescale/simulator";

const MAIN = resolve(import.meta.dirname, "../src/main.ts");
const folder = mkdtempSync(join(tmpdir(), "samescale-measure-"));
const photo = join(folder, "limb.jpg");
const outline = join(folder, "outline.json");
after(() => rmSync(folder, { recursive: true }));

function measure(...args: string[]) {
  return spawnSync(process.execPath, [MAIN, "measure", photo, "--outline", outline, ...args], {
    encoding: "utf8",
  });
}

function answered(...args: string[]): MeasureAnswer | NotMeasured {
  const { status, stdout, stderr } = measure(...args, "--json");
  assert.equal(status, 0, stderr);
  return JSON.parse(stdout) as MeasureAnswer | NotMeasured;
}

/** 10 px/mm along the scale; a square of 20 mm in the picture's middle. */
before(async () => {
  const scene = standardScene({
    things: [
      { kind: "straight-scale", placement: { xMm: 0, yMm: 26, rotateDeg: 0 }, lengthMm: 70, edges: ["mm"] },
    ],
  });
  const camera = standardCamera({ widthPx: 900, heightPx: 600, magnification: 0.4, focalMm: 100 });
  const picture = await renderPicture({ scene, camera, seed: 2 });
  await writePicture(photo, picture, camera);
  const square = [
    [350, 200],
    [550, 200],
    [550, 400],
    [350, 400],
  ];
  writeFileSync(outline, JSON.stringify({ outline: square, holes: [] }));
});

test("on a limb the same outline measures more, and the answer's recipe keeps what was said", () => {
  const flat = answered("--head-to-toe", "450,0,450,600");
  const limb = ["--limb-middle", "450,0,450,600", "--limb-girth-mm", "220"];
  const round = answered(...limb);
  assert.ok("method" in flat && "method" in round);
  assert.ok(Math.abs(flat.regions[0]!.headToToe!.lengthMm.value / 20 - 1) < 0.01);
  const more = round.regions[0]!.areaMm2.value / flat.regions[0]!.areaMm2.value - 1;
  assert.ok(more > 0.01 && more < 0.06, `${more}`);
  assert.deepEqual(round.recipe.parameters.said, {
    limb: {
      middle: [
        [450, 0],
        [450, 600],
      ],
      girthMm: 220,
    },
  });
});

test("what was said of the limb and cannot be is answered with a reason, or refused as bad arguments", () => {
  const answer = answered("--limb-middle", "450,0,450,600", "--limb-girth-mm", "40");
  assert.ok("reason" in answer);
  assert.match(answer.reason, /visible edge/);
  for (const args of [
    ["--limb-middle", "450,0,450,600"],
    ["--limb-girth-mm", "220"],
    ["--limb-middle", "450,0,450", "--limb-girth-mm", "220"],
    ["--limb-girth-mm", "-3", "--limb-middle", "450,0,450,600"],
    ["--head-to-toe", "a,b,c,d"],
  ]) {
    const { status, stderr } = measure(...args);
    assert.equal(status, 2, args.join(" "));
    assert.match(stderr, /expected/);
  }
});

test("a reading of another file is refused by its hash, whatever the file's name and size", () => {
  const { stdout } = spawnSync(process.execPath, [MAIN, "scale", photo, "--json"], { encoding: "utf8" });
  const reading = join(folder, "reading.json");
  writeFileSync(reading, stdout);
  assert.ok("method" in answered("--scale", reading));
  writeFileSync(reading, JSON.stringify({ ...JSON.parse(stdout), sha256: "0".repeat(64) }));
  const answer = answered("--scale", reading);
  assert.ok("reason" in answer);
  assert.match(answer.reason, /read in another file/);
  assert.match(measure("--scale", folder).stdout, new RegExp(`folder, a file was expected: ${folder}`));
  writeFileSync(reading, JSON.stringify({ ...JSON.parse(stdout), sha256: "abc" }));
  assert.match(measure("--scale", reading).stdout, /sha256/);
});

test("a scale told to lie above the subject: sizes grow as d / (d - h), the budget names the height as told", () => {
  const plain = answered();
  const told = answered("--scale-height-mm", "10");
  assert.ok("method" in plain && "method" in told);
  // Thin lens, f = 100 mm at 1 : 2.5: object distance 350 mm to the scale, so 360 mm to the subject.
  const larger = Math.sqrt(told.regions[0]!.areaMm2.value / plain.regions[0]!.areaMm2.value);
  assert.ok(Math.abs(larger - 360 / 350) < 0.001, `${larger}`);
  const names = (answer: MeasureAnswer) => answer.budget.map(({ source }) => source).join("; ");
  assert.match(names(plain), /within 2 mm assumed/);
  assert.match(names(told), /height of the scale above the surface, as told/);
  const reading = join(folder, "plain.json");
  const { stdout } = spawnSync(process.execPath, [MAIN, "scale", photo, "--json"], { encoding: "utf8" });
  writeFileSync(reading, stdout);
  const both = measure("--scale", reading, "--scale-height-mm", "10");
  assert.equal(both.status, 2);
  assert.match(both.stderr, /--scale: expected auto/);
});

test("the department's own repeats: from a table to the budget of the next measurement", () => {
  const repeats = (file: string, ...args: string[]) =>
    spawnSync(process.execPath, [MAIN, "repeats", file, ...args], { encoding: "utf8" });
  const table = join(folder, "repeats.csv");
  const rows = [
    ["heel", "Ada", 100, 40],
    ["heel", "Ada", 104, 40],
    ["shin", "Ada", 300, 70],
    ["shin", "Ada", 293, 70],
  ];
  writeFileSync(table, ["thing,person,area_mm2,perimeter_mm", ...rows.map((row) => row.join())].join("\n"));
  const { stdout, status } = repeats(table, "--json");
  assert.equal(status, 0);
  // Edges: 4/40 and 7/70 = 0.1 mm apart, both; the scatter of two values is their difference over the root of 2.
  const { ownRepeats } = JSON.parse(stdout) as { ownRepeats: { edgeUMm: number; persons: number } };
  assert.ok(Math.abs(ownRepeats.edgeUMm - 0.1 / Math.SQRT2) < 1e-12);
  assert.equal(ownRepeats.persons, 1);
  assert.match(repeats(table).stdout, /how persons differ is not known/);
  const own = join(folder, "own.json");
  writeFileSync(own, stdout);
  const answer = answered("--repeats", own);
  assert.ok("method" in answer);
  assert.equal(answer.regions[0]!.edge.from, "repeats");
  assert.ok(answer.budget.some(({ source }) => source.includes("own repeats: 4 outlines by 1 person")));
  // Ben draws every thing at four fifths of Ada's area: 20 % smaller, without any scatter.
  const both = rows.concat(rows.map(([thing, , area, edge]) => [thing!, "Ben", 0.8 * Number(area), edge!]));
  const more = ["toe,Ada,50,25", "toe,Ada,50,25", "toe,Ben,40,25", "toe,Ben,40,25"];
  writeFileSync(
    table,
    ["thing,person,area_mm2,perimeter_mm", ...both.map((row) => row.join()), ...more].join("\n"),
  );
  assert.match(
    repeats(table).stdout,
    /Ben draws 20\.0 % smaller than Ada \(± 0\.0 %\).*−20\.0 % and −20\.0 %/,
  );
  writeFileSync(table, "thing,person,area_mm2,perimeter_mm\nheel,Ada,100,40");
  assert.match(repeats(table).stdout, /Nobody outlined the same thing twice/);
  writeFileSync(own, '{"ownRepeats":{"edgeUMm":-1}}');
  assert.match(measure("--repeats", own).stdout, /ownRepeats\.edgeUMm is not a number of 0 or more/);
});
