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
