import assert from "node:assert/strict";
import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import {
  type Camera,
  encodePicture,
  obliqueLight,
  renderPicture,
  type Scene,
  standardCamera,
  standardScene,
  standardSkin,
  type Thing,
} from "@samescale/simulator";
import { colourOfFile } from "../../src/colour/colour-of-file.ts";
import { matchColourOfFile } from "../../src/colour/match/match-of-file.ts";
import type { ColourMatched } from "../../src/colour-answers.ts";

let folder = "";
let baseline = "";
before(async () => {
  folder = await mkdtemp(join(tmpdir(), "samescale-match-"));
  baseline = await shot("base.jpg", [wound(6)], {});
});
after(async () => await rm(folder, { recursive: true, force: true }));

const wound = (erythemaMm: number): Thing => ({
  kind: "wound",
  seed: 4,
  lengthMm: 30,
  widthMm: 20,
  placement: { xMm: 5, yMm: 0 },
  erythemaMm,
});

async function shot(
  name: string,
  things: readonly Thing[],
  moved: Partial<Camera>,
  scene: Partial<Scene> = {},
) {
  const camera = standardCamera({
    widthPx: 480,
    heightPx: 320,
    magnification: 0.3,
    jpegQuality: 95,
    ...moved,
  });
  const picture = await renderPicture({
    scene: standardScene({ skin: standardSkin({ tone: 3, seed: 8 }), things, ...scene }),
    camera,
    seed: 77,
  });
  const file = join(folder, name);
  await writeFile(file, await encodePicture(picture, camera, "jpeg"));
  return file;
}

/** All pictures are taken from the same place: the homography is known, and the alignment has tests of its own. */
const SAME_PLACE = [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
] as const;

async function matched(file: string, baseline: string, more: object = {}): Promise<ColourMatched> {
  const answer = await matchColourOfFile({ file, baseline, homography: SAME_PLACE, ...more });
  assert.ok(answer.found, answer.found ? "" : answer.reason);
  return answer;
}

const gainsOf = ({ correction }: ColourMatched) => correction.matrix.map((row, c) => row[c]!);

test("other exposure and white balance are undone, and what has turned redder is not taken away", async () => {
  const other = { whiteBalanceK: 6800, exposureStops: -0.5 };
  const same = await matched(await shot("same.jpg", [wound(6)], other), baseline);
  assert.ok(same.deltaE00.before.mean > 5 && same.deltaE00.crossValidated.mean < 1); // rendered: 0.3 to 0.5
  assert.ok(Math.abs(same.exposureStops + 0.5) < 0.05);
  assert.equal(same.relative, true);
  assert.ok(same.warnings[0]?.startsWith("relative"));
  // a red surround three times as wide, and a bruise over a fifth of the picture: the same light asks for the same gains
  const bruise: Thing = {
    kind: "bruise",
    days: 1,
    seed: 3,
    lengthMm: 45,
    widthMm: 40,
    placement: { xMm: -30, yMm: 5 },
  };
  for (const [name, things] of [
    ["redder.jpg", [wound(22)]],
    ["bruised.jpg", [wound(6), bruise]],
  ] as const) {
    const changed = await matched(await shot(name, things, other), baseline);
    assert.ok(changed.changedShare > 0.05, name);
    for (const [c, gain] of gainsOf(changed).entries()) {
      // 1.5 % of light: a third of what anyone sees
      assert.ok(Math.abs(gain / gainsOf(same)[c]! - 1) < 0.015, `${name}: ${gain}, ${gainsOf(same)[c]}`);
    }
  }
});

test("the answer says what the baseline's colours rest on", async () => {
  const chart: Thing = { kind: "chart", patchMm: 8, placement: { xMm: -25, yMm: 15 } };
  const withChart = await shot("with-chart.jpg", [chart], { exposureStops: -0.3 });
  const corrected = join(folder, "baseline-corrected.jpg");
  const byChart = await colourOfFile({
    file: withChart,
    chartEdition: "before-2014",
    correctedFile: corrected,
  });
  assert.ok(byChart.found);
  const followup = await shot("later.jpg", [], { whiteBalanceK: 4600 });
  const to = join(folder, "later-matched.jpg");
  const answer = await matched(followup, corrected, { correctedFile: to });
  assert.match(answer.chain[0]!, /corrected by its colour chart \(values: before-2014\)/);
  assert.deepEqual(answer.corrected?.inputs.length, 2);
  // matched again to that one, the whole chain is told
  const third = await matched(await shot("third.jpg", [], { whiteBalanceK: 6000 }), to);
  assert.match(third.chain[0]!, /itself matched to an earlier picture/);
  assert.match((await matched(followup, withChart)).chain[0]!, /as its file has them/);
});

test("one picture twice, unlike pictures, too little skin: refused with the reason", async () => {
  const reason = async (input: Parameters<typeof matchColourOfFile>[0]) => {
    const answer = await matchColourOfFile(input);
    return answer.found ? "matched" : answer.reason;
  };
  const followup = await shot("f.jpg", [], { whiteBalanceK: 6000 });
  assert.match(await reason({ file: baseline, baseline }), /same picture/);
  const elsewhere = await shot("e.jpg", [], {}, { skin: standardSkin({ tone: 5, seed: 99 }) });
  assert.match(await reason({ file: elsewhere, baseline }), /cannot be laid over each other/);
  const whole = [
    [0, 0],
    [480, 0],
    [480, 312],
    [0, 312],
  ] as const;
  const ignoreBaseline = [{ outline: whole, holes: [] }];
  assert.match(
    await reason({ file: followup, baseline, homography: SAME_PLACE, ignoreBaseline }),
    /too little skin/,
  );
  const cloth: Thing = { kind: "cloth", widthMm: 400, heightMm: 400, placement: { xMm: 0, yMm: 0 } };
  const covered = [
    await shot("c1.jpg", [cloth], {}),
    await shot("c2.jpg", [cloth], { whiteBalanceK: 6000 }),
  ] as const;
  assert.match(
    await reason({ file: covered[1], baseline: covered[0], homography: SAME_PLACE }),
    /too little skin/,
  );
});

test("light from another side is matched as far as one correction can, with its remainder in the figures", async () => {
  const answer = await matched(await shot("oblique.jpg", [], {}, { light: obliqueLight() }), baseline);
  assert.ok(
    answer.deltaE00.crossValidated.mean > 0.8 && answer.deltaE00.after.mean < answer.deltaE00.before.mean,
  );
});
