import assert from "node:assert/strict";
import { test } from "node:test";
import { checkCharacter } from "../src/check-character.ts";
import { codeTextOf, MARKER_KINDS, newScaleId, parseScaleId, scaleOfCode } from "../src/index.ts";

/** A fixed sequence: the same ids in every run. */
function sequence(): () => number {
  let state = 1;
  return () => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
}

test("the check character is that of a published example", () => {
  // Worked through in the blood services' red book, annex 2 (donation numbers, ISO 7064 MOD 37-2).
  assert.equal(checkCharacter("G123498654321"), "H");
  assert.equal(checkCharacter("A B"), null);
});

test("an id tells its kind, typed in any manner a person types it", () => {
  const random = sequence();
  for (const kind of MARKER_KINDS) {
    const id = newScaleId(kind, random);
    assert.deepEqual(parseScaleId(id), { id, kind });
    assert.deepEqual(parseScaleId(` ${id.slice(0, 4).toLowerCase()}-${id.slice(4)}`), { id, kind });
    assert.deepEqual(scaleOfCode(codeTextOf(id)), { id, kind });
  }
});

test("every single wrong character and every exchange of neighbours is seen", () => {
  const random = sequence();
  for (let n = 0; n < 40; n++) {
    const id = newScaleId("l", random);
    for (let i = 0; i < id.length; i++) {
      for (const wrong of "23456789ABCDFGHJKMNPQRSTVWXZ") {
        if (wrong === id[i]) continue;
        assert.equal(parseScaleId(id.slice(0, i) + wrong + id.slice(i + 1)), null);
      }
      const exchanged = id.slice(0, i) + (id[i + 1] ?? "") + id[i] + id.slice(i + 2);
      if (exchanged !== id) assert.equal(parseScaleId(exchanged), null, `${exchanged} for ${id}`);
    }
  }
});

test("what is no id of a scale is none", () => {
  const id = newScaleId("label", sequence());
  for (const text of [
    "",
    "SR1:R-17",
    "A",
    "Z2345678",
    `${id}${id}`,
    "A".repeat(1e6),
    "../../etc",
    "D\u0000345678",
  ])
    assert.equal(parseScaleId(text), null, text.slice(0, 20));
  for (const text of [id, `ss1:${id}`, `SS1:${id.toLowerCase()}`, `SS1: ${id}`, `SS2:${id}`, `SR1:${id}`])
    assert.equal(scaleOfCode(text), null, text);
});
