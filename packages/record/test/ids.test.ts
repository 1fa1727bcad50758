import assert from "node:assert/strict";
import { test } from "node:test";
import { newIdsFrom } from "../src/index.ts";

test("ids of one moment sort in the order in which they were made, and no step can be guessed", () => {
  const next = newIdsFrom(() => new Date("2026-06-10T12:00:00.000Z"));
  const ids = Array.from({ length: 2000 }, next);
  assert.deepEqual(ids.toSorted(), ids);
  assert.equal(new Set(ids).size, ids.length);
  const steps = new Set(ids.slice(1).map((id, i) => numberOf(id) - numberOf(ids[i]!)));
  assert.ok(steps.size > 1990, `${steps.size} different steps of ${ids.length - 1}`);
});

test("the time stands in front, whatever the clock does, and reads back", () => {
  const times = ["2026-06-10T12:00:00.000Z", "2026-06-10T12:00:00.001Z", "2026-06-10T11:59:59.999Z"];
  let at = 0;
  const next = newIdsFrom(() => new Date(times[at]!));
  for (at = 0; at < times.length; at++) {
    assert.equal(new Date(Number(numberOf(next()) >> 80n)).toISOString(), times[at]);
  }
});

/** Crockford's base 32, as the ULID form has it (from memory). */
function numberOf(id: string): bigint {
  let number = 0n;
  for (const digit of id) number = number * 32n + BigInt("0123456789ABCDEFGHJKMNPQRSTVWXYZ".indexOf(digit));
  return number;
}
