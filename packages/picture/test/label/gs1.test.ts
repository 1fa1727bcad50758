import assert from "node:assert/strict";
import { test } from "node:test";
import { gs1Elements } from "../../src/label/gs1.ts";

const GS = "\u001d";
const read = (content: string) => {
  const { elements, warnings } = gs1Elements(content, "]d2")!;
  return { elements: elements.map(({ ai, value, checkDigit }) => [ai, value, checkDigit]), warnings };
};

test("a wristband's number and instance, its check digit verified", () => {
  // The check-digit examples of reference/trade-facts.md, 6.6 (ISO 18530 recipients).
  for (const number of ["952012345678912345", "123456789012345675"]) {
    for (const between of [GS, ""]) {
      assert.deepEqual(read(`8018${number}${between}80192`), {
        elements: [
          ["8018", number, "right"],
          ["8019", "2", null],
        ],
        warnings: [],
      });
    }
  }
  assert.deepEqual(read("8018952012345678912346"), {
    elements: [["8018", "952012345678912346", "wrong"]],
    warnings: ["The check digit of GS1 identifier 8018 is wrong."],
  });
});

test("elements of predefined length need no separator, those of variable length end at one", () => {
  // 4006381333931 is the check-digit example of the same place, as an item number with a zero in front.
  assert.deepEqual(read(`0104006381333931172612311010AB-7${GS}21S/N 1`.replace(" ", "")), {
    elements: [
      ["01", "04006381333931", "right"],
      ["17", "261231", null],
      ["10", "10AB-7", null],
      ["21", "S/N1", null],
    ],
    warnings: [],
  });
  assert.deepEqual(read(`240X${GS}400ORDER`).elements, [
    ["240", "X", null],
    ["400", "ORDER", null],
  ]);
});

test("what is not known or not as it should be is said, and nothing behind it is guessed", () => {
  for (const [content, known] of [
    [`11260101${"0599"}`, 1],
    ["8018952012345678912", 0], // too short
    ["80189520123456789123459", 0], // too long
    ["801895201234567891234X", 0],
    [`10${"x".repeat(21)}`, 0],
    ["10", 0],
    ["hello", 0],
    ["17a61231", 0],
  ] as const) {
    const { elements, warnings } = read(content);
    assert.equal(elements.length, known, content);
    assert.match(warnings.join(), /^GS1 content is split up to/, content);
  }
});

test("a symbol that does not say it is GS1's is not split", () => {
  for (const aim of ["]C0", "]d1", "]Q1", ""]) assert.equal(gs1Elements("8018952012345678912345", aim), null);
  for (const aim of ["]C1", "]d2", "]Q3", "]e0"])
    assert.notEqual(gs1Elements("8018952012345678912345", aim), null);
});
