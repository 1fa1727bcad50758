import assert from "node:assert/strict";
import { test } from "node:test";
import { whenDue } from "../../src/day/when-due.ts";

const TODAY = "2026-06-10";
const cases: readonly [
  says: string,
  days: readonly string[],
  made: string | null,
  when: string,
  day: string | null,
][] = [
  ["an appointment today", ["2026-06-10"], null, "today", "2026-06-10"],
  [
    "pictures were made before, and it comes again today",
    ["2026-06-10", "2026-05-01"],
    "2026-05-01",
    "today",
    "2026-06-10",
  ],
  ["the nearest of the days ahead", ["2026-07-01", "2026-06-12"], null, "coming", "2026-06-12"],
  [
    "a day that passed, and what comes: what comes",
    ["2026-06-01", "2026-06-12"],
    null,
    "coming",
    "2026-06-12",
  ],
  ["a day that passed and no picture", ["2026-06-09", "2026-06-01"], null, "overdue", "2026-06-01"],
  [
    "a day that passed since the last picture",
    ["2026-05-01", "2026-06-09"],
    "2026-05-01",
    "overdue",
    "2026-06-09",
  ],
  ["pictures on the last of its days", ["2026-05-01"], "2026-05-01", "made", "2026-05-01"],
  ["pictures, and never a day", [], "2026-05-01", "made", "2026-05-01"],
  ["nobody named a day", [], null, "undated", null],
];

for (const [says, days, made, when, day] of cases) {
  test(`${says}: ${when}`, () => assert.deepEqual(whenDue(days, made, TODAY), { when, day }));
}
