import assert from "node:assert/strict";
import { test } from "node:test";
import { intraclassOf } from "../../src/index.ts";

/**
 * Six targets by four judges and the coefficients printed with them: .29 (.02 to .76) with the judges drawn from many,
 * .71 (.34 to .95) for these judges only. @source ShroutFleiss1979 (tables 2 to 4, from memory; the intervals to three
 * digits as a general statistics package's handbook prints them: .019 to .761, .342 to .946)
 */
const JUDGED = [
  [9, 2, 5, 8],
  [6, 1, 3, 2],
  [8, 4, 6, 8],
  [7, 1, 2, 6],
  [10, 5, 6, 9],
  [6, 2, 4, 7],
] as const;

test("the published example of six targets and four judges", () => {
  const { agreement, consistency, things, persons } = intraclassOf(JUDGED)!;
  assert.deepEqual([things, persons], [6, 4]);
  assert.deepEqual(
    [agreement.value, agreement.lower, agreement.upper].map((v) => v.toFixed(3)),
    ["0.290", "0.019", "0.761"],
  );
  assert.deepEqual(
    [consistency.value, consistency.lower, consistency.upper].map((v) => v.toFixed(3)),
    ["0.715", "0.342", "0.946"],
  );
});

test("persons who agree exactly, and persons who differ by a habit only", () => {
  assert.equal(
    intraclassOf([
      [1, 1],
      [2, 2],
      [5, 5],
    ])!.agreement.value,
    1,
  );
  const habit = intraclassOf([
    [1, 3],
    [2, 4],
    [5, 7],
  ])!;
  assert.equal(habit.consistency.value, 1);
  assert.ok(habit.agreement.value < 0.9);
});

test("tables that say nothing", () => {
  assert.equal(intraclassOf([]), null);
  assert.equal(intraclassOf([[1, 2]]), null);
  assert.equal(intraclassOf([[1], [2]]), null);
  assert.equal(intraclassOf([[1, 2], [3]]), null);
  assert.equal(
    intraclassOf([
      [4, 4],
      [4, 4],
    ]),
    null,
  );
});
