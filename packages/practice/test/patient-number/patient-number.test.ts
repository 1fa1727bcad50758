import assert from "node:assert/strict";
import { test } from "node:test";
import { type PatientNumberFormat, patientNumberFormatSchema, patientNumberOf } from "../../src/index.ts";
import { isCheckRight } from "../../src/patient-number/check-digits.ts";

const format = (pattern: string, check: PatientNumberFormat["check"] = "none"): PatientNumberFormat =>
  patientNumberFormatSchema.parse({ name: "number", pattern, check });

test("check digits of published numbers are right, and no other last digit is", () => {
  const published = [
    // GS1 General Specifications: an EAN-13 of many textbooks; ISO 18530 recipients (reference/trade-facts.md, 6.6).
    ["mod10", "4006381333931"],
    ["mod10", "952012345678912345"],
    ["mod10", "123456789012345675"],
    // The NHS Data Dictionary's rule, with the number that is used to explain it.
    ["mod11", "9434765919"],
    // ISO 17442's example of an LEI, and the example of ISO 13616 for a British account, turned as the rule asks.
    ["mod97-10", "5493001KJTIIGC8Y1R12"],
    ["mod97-10", "WEST12345698765432GB82"],
    // Annex 2 of the blood services' red book, as in the marker's test.
    ["mod37-2", "G123498654321H"],
  ] as const;
  for (const [check, number] of published) {
    assert.equal(isCheckRight(check, number), true, number);
    for (const digit of check === "mod37-2" ? "0HIZ" : "0123456789") {
      if (digit === number.at(-1)) continue;
      assert.equal(isCheckRight(check, number.slice(0, -1) + digit), false, `${number} ending in ${digit}`);
    }
  }
});

test("mod 11 gives out no number whose check digit would be ten", () => {
  // 6 x 2 = 12 leaves 1 of 11, and 11 less 1 is 10: no digit ends it.
  for (const digit of "0123456789") assert.equal(isCheckRight("mod11", `000000006${digit}`), false);
});

test("a text fits its pattern place by place", () => {
  const formats = [format("'HN'99999"), format("AA999999"), format("999 999 9999", "mod11")];
  const check = (text: string) => patientNumberOf(text, formats);
  assert.deepEqual(check("HN12345"), { format: "number", number: "HN12345", check: "none" });
  assert.deepEqual(check("QX204118"), { format: "number", number: "QX204118", check: "none" });
  assert.deepEqual(check("943 476 5919"), { format: "number", number: "943 476 5919", check: "right" });
  assert.deepEqual(check("943 476 5918"), { format: "number", number: "943 476 5918", check: "wrong" });
  for (const text of [
    "",
    "HN1234",
    "HN123456 ",
    "hn12345",
    "XX12345",
    "HN1234\u0665",
    "943-476-5919",
    "ÄX204118",
  ])
    assert.equal(check(text), null, text);
});

test("a format whose check digit is right goes before one that fits by its places only", () => {
  const nhs: PatientNumberFormat = { name: "national", pattern: "9999999999", check: "mod11" };
  const old: PatientNumberFormat = { name: "old", pattern: "9999999999", check: "none" };
  assert.equal(patientNumberOf("9434765919", [nhs, old])?.format, "national");
  assert.equal(patientNumberOf("9434765918", [nhs, old])?.format, "old");
  assert.equal(patientNumberOf("9434765918", [nhs])?.check, "wrong");
  assert.equal(patientNumberOf("9434765918", []), null);
});

test("a pattern that says too little, too much or something else is refused with the reason", () => {
  for (const [pattern, reason] of [
    ["", /at least 4/],
    ["'HN'999", /at least 4/],
    ["'HN99999", /received "'HN99999"/],
    ["HN99999", /quoted/],
    ["[0-9]+", /quoted/],
    ["(a+)+$", /quoted/],
    ["9".repeat(41), /at most 40/],
  ] as const) {
    const read = patientNumberFormatSchema.safeParse({ name: "x", pattern });
    assert.match(read.error?.issues[0]?.message ?? "", reason, pattern);
  }
  assert.equal(
    patientNumberFormatSchema.safeParse({ name: "x", pattern: "9999", check: "luhn" }).success,
    false,
  );
});
