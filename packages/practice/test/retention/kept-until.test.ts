import assert from "node:assert/strict";
import { test } from "node:test";
import { keptUntil, type RetentionFacts, type RetentionRule } from "../../src/index.ts";
import { retentionSchema } from "../../src/retention/rules.ts";

const MAJORITY = { ageOfMajority: 18, leapDayBirthday: "03-01" } as const;
const rule = (more: Partial<RetentionRule>): RetentionRule => ({
  name: "adults",
  of: { kind: "clinical" },
  keepYears: 8,
  after: "last-visit",
  mark: "own",
  why: "test",
  ...more,
});
const FACTS: RetentionFacts = {
  kind: "clinical",
  birthDate: "1958-11-02",
  lastVisitOn: "2026-03-15",
  purpose: "Wound care",
  evidence: false,
};
const CHILDREN = rule({
  name: "children",
  of: { kind: "clinical", child: true },
  keepYears: 7,
  after: "majority",
});
const until = (rules: readonly RetentionRule[], more: Partial<RetentionFacts> = {}) =>
  keptUntil(rules, { ...FACTS, ...more }, MAJORITY);

test("years count from the last visit, or from coming of age, to the day", () => {
  assert.deepEqual(until([rule({})]), {
    from: "2034-03-15",
    rule: "adults",
    why: "Kept for 8 years after the last visit on 2026-03-15: until 2034-03-15",
  });
  assert.equal(until([CHILDREN], { birthDate: "2015-06-01" }).from, "2040-06-01");
  assert.equal(until([rule({})], { lastVisitOn: "2024-02-29" }).from, "2032-02-29");
  assert.equal(until([rule({ keepYears: 7 })], { lastVisitOn: "2024-02-29" }).from, "2031-03-01");
});

test("of several rules the longest decides, in whatever order they stand", () => {
  const rules = [rule({}), CHILDREN];
  for (const order of [rules, rules.toReversed()]) {
    assert.equal(until(order, { birthDate: "2015-06-01" }).rule, "children");
    // Seventeen at the last visit: 25th birthday against eight years after it.
    assert.equal(until(order, { birthDate: "2008-03-20" }).from, "2034-03-15");
    assert.equal(until(order, { birthDate: "2008-03-10" }).rule, "adults");
  }
});

test("what is not known keeps it; no rule keeps it; evidence that is kept for ever is never proposed", () => {
  assert.deepEqual(until([rule({}), CHILDREN], { birthDate: null }).from, null);
  assert.equal(until([rule({})], { birthDate: null }).from, "2034-03-15");
  assert.equal(until([]).from, null);
  assert.equal(until([rule({ of: { kind: "non-clinical" } })]).from, null);
  const forEver = rule({ name: "evidence", of: { evidence: true }, keepYears: "for-ever" });
  assert.equal(until([rule({}), forEver], { evidence: true }).from, null);
  assert.equal(until([rule({}), forEver]).from, "2034-03-15");
  const teaching = rule({ name: "teaching", of: { purpose: ["teaching"] }, keepYears: 30 });
  assert.equal(until([rule({}), teaching], { purpose: "For TEACHING and care" }).rule, "teaching");
  assert.equal(until([rule({}), teaching], { purpose: null }).rule, "adults");
});

test("rules that are odd are refused by the practice's own check", () => {
  assert.equal(retentionSchema.safeParse([rule({}), rule({})]).success, false);
  assert.equal(retentionSchema.safeParse([{ ...rule({}), keepYears: -1 }]).success, false);
  assert.equal(retentionSchema.safeParse([{ ...rule({}), delete: true }]).success, false);
});
