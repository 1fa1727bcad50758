import assert from "node:assert/strict";
import { test } from "node:test";
import { typedQuery } from "../../src/search/query.ts";
import { facetTerm, foldedText, wordsOf, wordsOfNumber } from "../../src/search/words.ts";

test("accents and case fold as the Unicode collation says they do at base strength (ICU)", () => {
  const base = new Intl.Collator("und", { sensitivity: "base" });
  const pairs: [string, string][] = [
    ["Café", "cafe"],
    ["CAFÉ", "cafe"],
    ["Müller", "muller"],
    ["Ñandú", "nandu"],
    ["Šárka Dvořáková", "sarka dvorakova"],
    ["e\u0301", "é"],
    ["ﬁbula", "fibula"],
    ["Ångström", "angstrom"],
    ["ΆΝΝΑ", "αννα"],
  ];
  for (const [one, other] of pairs) {
    assert.equal(base.compare(one, other), 0, `${one} ${other}`);
    assert.equal(foldedText(one), foldedText(other));
  }
  for (const [one, other] of [
    ["leg", "lag"],
    ["ada", "adam"],
  ] as const) {
    assert.notEqual(base.compare(one, other), 0);
    assert.notEqual(foldedText(one), foldedText(other));
  }
});

test("strokes and double letters are found as people type them (common practice, no source)", () => {
  assert.deepEqual(wordsOf("Straße Łódź Møller Þór"), ["strasse", "lodz", "moller", "thor"]);
});

test("a word is letters and digits; whatever else a text holds only sets words apart", () => {
  assert.deepEqual(wordsOf(`O'Neill; DROP TABLE "frame" --\u0000\u202e(x) NEAR/2 y*`), [
    "o",
    "neill",
    "drop",
    "table",
    "frame",
    "x",
    "near",
    "2",
    "y",
  ]);
  assert.deepEqual(wordsOf("\uE000kind\uE001trash"), ["kind", "trash"]);
  assert.equal(wordsOf("x".repeat(500))[0]?.length, 60);
  assert.deepEqual(wordsOfNumber("943 476 5919"), ["943", "476", "5919", "9434765919"]);
  assert.notEqual(facetTerm("part", "leg"), facetTerm("side", "leg"));
});

test("days and months are taken out of what was typed, real ones only", () => {
  assert.deepEqual(typedQuery("leg 2026-02-28 left"), {
    words: ["leg", "left"],
    days: [{ text: "2026-02-28", from: "2026-02-28", until: "2026-02-28" }],
  });
  assert.deepEqual(typedQuery("2024-02").days, [
    { text: "2024-02", from: "2024-02-01", until: "2024-02-29" },
  ]);
  assert.deepEqual(typedQuery("2026-02-30"), { words: ["2026", "02", "30"], days: [] });
  assert.deepEqual(typedQuery("12026-02-28 2026-02-281").days, []);
});
