import assert from "node:assert/strict";
import { test } from "node:test";
import fc from "fast-check";
import { canonicalJson, type Json, sha256Of } from "../../src/custody/canonical.ts";

test("keys are sorted by UTF-16 code units and numbers written as RFC 8785 shows", () => {
  // RFC 8785 section 3.2.2 and 3.2.3: the sample object and its canonical form (from memory, not read here).
  const sample = {
    numbers: JSON.parse("[333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001]"),
    string: "\u20ac$\u000f\u000aA'\u0042\u0022\u005c\\\"/",
    literals: [null, true, false],
  };
  assert.equal(
    canonicalJson(sample),
    '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],' +
      '"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}',
  );
  // The sorting sample of the same section: a carriage return before 1, the surrogate pair before U+FB33.
  const keys = { "\u20ac": 1, "\r": 2, "\ufb33": 3, "1": 4, "\u{1f600}": 5, "\u0080": 6, "\u00f6": 7 };
  const order = [...canonicalJson(keys).matchAll(/:(\d)/g)].map((match) => match[1]).join("");
  assert.equal(order, "2467153");
});

test("minus zero, nested lists and empty containers have one form", () => {
  assert.equal(canonicalJson([-0, [], {}, [[1]], ""]), '[0,[],{},[[1]],""]');
});

test("what JSON would drop or change in silence is refused", () => {
  for (const bad of [
    Number.NaN,
    Number.POSITIVE_INFINITY,
    undefined,
    { a: undefined },
    "\ud800",
    [() => 1],
  ]) {
    assert.throws(() => canonicalJson(bad as unknown as Json), { code: "NOT_CANONICAL" });
  }
});

test("the order in which keys were set does not matter, and the text reads back as the value", () => {
  const json = fc.jsonValue({ maxDepth: 4, noUnicodeString: false } as fc.JsonSharedConstraints);
  fc.assert(
    fc.property(json, (value) => {
      if (!wellFormed(value)) return;
      const text = canonicalJson(value as Json);
      assert.equal(canonicalJson(reversed(value) as Json), text);
      assert.deepEqual(JSON.parse(text), JSON.parse(JSON.stringify(value)));
      assert.ok(!text.includes("\n"), "one value is one line");
    }),
    { numRuns: 500 },
  );
});

test("SHA-256 of abc is the published one", () => {
  // FIPS 180-4 example, as in reference/trade-facts 6.5.
  assert.equal(sha256Of("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
});

const wellFormed = (value: unknown): boolean => JSON.stringify(value).search(/\\ud[89a-f]/i) < 0;

function reversed(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(reversed);
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(
    Object.entries(value)
      .reverse()
      .map(([key, inner]) => [key, reversed(inner)]),
  );
}
