import assert from "node:assert/strict";
import { test } from "node:test";
import { seededRandom } from "@samescale/geometry";
import type { Character } from "../../../src/scale/numerals/classifier.ts";
import { sequenceOf } from "../../../src/scale/numerals/sequence.ts";
import type { Token } from "../../../src/scale/numerals/tokens.ts";

const token = (value: number | string, k: number, o = 6, height = 2, probability = 0.9): Token => ({
  k,
  o,
  height,
  characters: [...String(value)] as Character[],
  probability,
});

test("numerals one apart every ten graduations are centimetres beside millimetres, whichever way they grow", () => {
  for (const sense of [1, -1]) {
    const found = sequenceOf(
      [3, 4, 5, 6, 7].map((v) => token(v, 20 + sense * 10 * v)),
      0,
      false,
    );
    assert.equal(found?.perGraduation, sense / 10);
    assert.equal(found?.step, 1);
    assert.ok(found.logOdds > 8, `${found.logOdds}`);
  }
});

test("numerals that stand for ten each are told from those that stand for one", () => {
  const found = sequenceOf(
    [10, 20, 30, 40].map((v) => token(v, v)),
    0,
    false,
  );
  assert.equal(found?.perGraduation, 1);
  assert.equal(found?.step, 10);
});

test("one misread numeral and one that is hidden do not matter", () => {
  const tokens = [0, 1, 2, 3, 5, 6].map((v) => token(v, 16 * v));
  tokens.push(token(8, 64)); // a 4 misread
  const found = sequenceOf(tokens, 0, false);
  assert.equal(found?.perGraduation, 1 / 16);
  assert.deepEqual(
    found.tokens.map((t) => t.value),
    [0, 1, 2, 3, 5, 6],
  );
});

test("numerals of another row, smaller or farther off, are not mixed in", () => {
  const scale = [0, 1, 2, 3, 4].map((v) => token(v, 10 * v));
  const other = [7, 7, 7, 7].map((v, i) => token(v, 10 * i + 2, 15, 4));
  const found = sequenceOf([...scale, ...other], 0, false);
  assert.equal(found?.perGraduation, 1 / 10);
  assert.ok(found.tokens.every((t) => t.o === 6));
});

test("digits by chance prove nothing: 2,000 rows of ten", () => {
  let most = 0;
  for (let seed = 0; seed < 2000; seed++) {
    const random = seededRandom(seed);
    const tokens = Array.from({ length: 10 }, (_, i) => token(Math.floor(10 * random()), 10 * i + random()));
    most = Math.max(most, sequenceOf(tokens, 0, false)?.logOdds ?? 0);
  }
  assert.ok(most < 8, `${most}`);
});

test("no numbers, one number and words give no sequence", () => {
  assert.equal(sequenceOf([], 0, false), null);
  assert.equal(sequenceOf([token(3, 0)], 0, false), null);
  assert.equal(sequenceOf([token("cm", 0), token("mm", 10), token("NH", 20)], 0, false), null);
});
