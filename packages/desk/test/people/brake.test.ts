import assert from "node:assert/strict";
import { test } from "node:test";
import { isWorthTelling, newBrake } from "../../src/people/brake.ts";

test("five tries are free; then each waits twice as long, never more than a minute", () => {
  let now = 0;
  const brake = newBrake(() => now);
  const waits: number[] = [];
  for (let tries = 1; tries <= 14; tries++) {
    now += brake.waitS("mara here");
    brake.failed("mara here");
    waits.push(brake.waitS("mara here"));
  }
  assert.deepEqual(waits, [0, 0, 0, 0, 1, 2, 4, 8, 16, 32, 60, 60, 60, 60]);
  assert.equal(brake.waitS("mara elsewhere"), 0, "who guesses here keeps nobody out elsewhere");
  assert.equal(brake.waitS("tom here"), 0);
});

test("a right try forgets the wrong ones and says how many there were; so does a quarter of an hour", () => {
  let now = 0;
  const brake = newBrake(() => now);
  for (let i = 0; i < 7; i++) brake.failed("a");
  brake.failed("a"); // the right one, counted before it was known
  assert.equal(brake.forget("a"), 7);
  assert.equal(brake.waitS("a"), 0);
  for (let i = 0; i < 9; i++) brake.failed("b");
  now += 899;
  assert.equal(brake.failed("b"), 10);
  now += 900;
  assert.equal(brake.waitS("b"), 0);
  assert.equal(brake.failed("b"), 1);
});

test("a million names fill no memory, and the log hears of ever fewer tries", () => {
  const brake = newBrake(() => 0);
  for (let i = 0; i < 9; i++) brake.failed("known");
  for (let i = 0; i < 20_000; i++) brake.failed(`name ${i}`);
  assert.equal(brake.waitS("known"), 0, "the one longest at rest was let go");
  const told = Array.from({ length: 100_000 }, (_, i) => i + 1).filter(isWorthTelling);
  assert.deepEqual(told.slice(0, 5), [5, 10, 20, 40, 80]);
  assert.equal(told.length, 15);
});
