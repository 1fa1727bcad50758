import assert from "node:assert/strict";
import { test } from "node:test";
import fc from "fast-check";
import { type ConsentAnswer, consentFor, type UseWanted } from "../../src/consent/consent-for.ts";
import { CONSENT_CAPACITIES, CONSENT_SCOPES } from "../../src/consent/scopes.ts";
import { given, wanted } from "./answers.ts";
import { mayUse } from "./literal-twin.ts";

const why = (answers: readonly ConsentAnswer[], use: UseWanted): string => {
  const decided = consentFor(answers, use);
  return decided.covered ? "covered" : decided.why;
};

test("a scope covers itself and no other (trade facts 7.2: a higher scope never follows from a lower one)", () => {
  for (const scope of CONSENT_SCOPES) {
    const publication = "Journal of invented cases, spring issue";
    const others = CONSENT_SCOPES.filter((other) => other !== scope);
    const answers = others.map((other) => given({ scope: other, publication }));
    assert.match(why(answers, wanted({ scope, publication })), /No consent was given for/);
    assert.equal(why([given({ scope, publication })], wanted({ scope, publication })), "covered");
  }
});

test("the newest word decides; words of one moment must all allow", () => {
  const refusal = given({ id: "c2", answer: "refused", givenAt: "2026-03-01T11:00:00.000Z" });
  assert.match(why([given({}), refusal], wanted({})), /was refused on 2026-03-01/);
  const again = given({ id: "c3", givenAt: "2026-03-01T12:00:00.000Z" });
  assert.deepEqual(consentFor([given({}), refusal, again], wanted({})), {
    covered: true,
    consentId: "c3",
    consentIds: ["c3"],
  });
  // Two answers of one form: a release rests on both, so that the earlier end of the two counts.
  const ends = given({ id: "c5", until: "2026-03-02" });
  const { id } = given({});
  for (const answers of [
    [ends, given({})],
    [given({}), ends],
  ]) {
    const decided = consentFor(answers, wanted({}));
    assert.deepEqual(decided.covered && decided.consentIds.toSorted(), [id, "c5"].toSorted());
  }
  const atOnce = given({ id: "c4", answer: "refused" });
  assert.match(why([given({}), atOnce], wanted({})), /refused/);
  assert.match(why([atOnce, given({})], wanted({})), /refused/);
});

test("withdrawn: covers nothing from then on, and ends what was given before it for the same", () => {
  const withdrawn = given({ id: "c2", withdrawnAt: "2026-03-02T09:00:00.000Z" });
  assert.match(why([given({}), withdrawn], wanted({})), /withdrawn on 2026-03-02/);
});

test("the last day is the last day", () => {
  const spring = given({ until: "2026-03-02" });
  assert.equal(why([spring], wanted({ at: "2026-03-02T23:59:59.999Z" })), "covered");
  assert.match(why([spring], wanted({ at: "2026-03-03T00:00:00.000Z" })), /ended with 2026-03-02/);
});

test("a clock that jumped back: a yes of the future is not heard, a no is", () => {
  const early = wanted({ at: "2026-02-01T10:00:00.000Z" });
  assert.match(why([given({})], early), /No consent was given for teaching before 2026-02-01/);
  const old = given({ id: "c0", givenAt: "2026-01-01T10:00:00.000Z" });
  assert.equal(why([old, given({})], early), "covered");
  assert.match(why([{ ...old, withdrawnAt: "2026-03-01T10:00:00.000Z" }], early), /withdrawn/);
  assert.match(why([old, given({ answer: "refused" })], early), /refused/);
});

test("a publication is named, and it is the very one", () => {
  const use = { scope: "publication-print" as const, publication: "The quarterly, issue 3" };
  const answer = given({ scope: "publication-print", publication: "The quarterly, issue 3" });
  assert.equal(why([answer], wanted(use)), "covered");
  assert.match(why([answer], wanted({ ...use, publication: "The quarterly, issue 4" })), /No consent/);
  assert.match(why([answer], wanted({ ...use, publication: null })), /names the very publication/);
  assert.match(why([{ ...answer, publication: null }], wanted(use)), /names no publication/);
  const never = given({
    ...answer,
    id: "c2",
    answer: "refused",
    publication: null,
    givenAt: "2026-03-01T11:00:00Z",
  });
  assert.match(why([answer, never], wanted(use)), /refused/);
});

test("best interest serves care only, a legal basis evidence only, and evidence is not for parents to give", () => {
  const reached = Object.fromEntries(
    CONSENT_CAPACITIES.map((capacity) => [
      capacity,
      CONSENT_SCOPES.filter((scope) => {
        const publication = "a journal";
        return consentFor([given({ scope, capacity, publication })], wanted({ scope, publication })).covered;
      }),
    ]),
  );
  assert.deepEqual(reached, {
    patient: CONSENT_SCOPES,
    "parental-responsibility": CONSENT_SCOPES.filter((scope) => scope !== "evidence"),
    "best-interest": ["health-record", "requester"],
    "legal-basis": ["evidence"],
  });
});

test("for which pictures: a yes to some covers those, a no to one follows it, the whole needs every picture", () => {
  const some = given({ frames: ["f1", "f2"] });
  assert.equal(why([some], wanted({ frameId: "f1" })), "covered");
  assert.match(why([some], wanted({ frameId: "f3" })), /No consent/);
  assert.match(why([some], wanted({ frameId: null })), /No consent/);
  assert.match(why([some], wanted({ frameId: "f1", requestId: "r2" })), /No consent/);
  const all = given({ id: "all", requestId: null });
  const notThat = given({ id: "no", answer: "refused", frames: ["f1"], givenAt: "2026-03-01T11:00:00Z" });
  assert.match(why([all, notThat], wanted({ frameId: "f1" })), /refused/);
  assert.match(why([all, notThat], wanted({ frameId: "f1", requestId: "r2" })), /refused/);
  assert.equal(why([all, notThat], wanted({ frameId: "f2" })), "covered");
  assert.match(why([all, notThat], wanted({ frameId: null })), /refused/);
});

test("several persons in one picture: each must have agreed", () => {
  const anna = given({ id: "a", person: "A. Example" });
  const bert = given({ id: "b", person: "B. Example", givenAt: "2026-03-01T12:00:00.000Z" });
  const both = wanted({ persons: ["A. Example", "B. Example"] });
  assert.deepEqual(consentFor([anna, bert], both), { covered: true, consentId: "a", consentIds: ["a", "b"] });
  assert.match(why([anna], both), /^B. Example: No consent was given/);
  assert.match(why([{ ...anna, answer: "refused" }, bert], wanted({})), /^A. Example: .*refused/);
});

test("a time that cannot be read refuses", () => {
  assert.match(why([given({ withdrawnAt: "soon" })], wanted({})), /cannot be read/);
  assert.match(why([given({})], wanted({ at: "today" })), /cannot be read/);
});

const HOUR = 3_600_000;
const START = Date.parse("2026-03-01T00:00:00.000Z");
const moment = fc.integer({ min: 0, max: 60 }).map((h) => new Date(START + h * HOUR).toISOString());
const often = <T>(usual: T, others: fc.Arbitrary<T>) =>
  fc.oneof({ weight: 4, arbitrary: fc.constant(usual) }, { weight: 1, arbitrary: others });
const frame = fc.constantFrom("f1", "f2");
const scope = fc.constantFrom("health-record", "teaching", "publication-print", "evidence" as const);
const answer: fc.Arbitrary<ConsentAnswer> = fc.record({
  id: fc.uuid(),
  scope,
  answer: often<"given" | "refused">("given", fc.constant("refused")),
  capacity: often("patient", fc.constantFrom(...CONSENT_CAPACITIES)),
  person: often(null, fc.constantFrom("A. Example", "B. Example")),
  publication: often<string | null>("journal", fc.constantFrom(null, "book")),
  requestId: often<string | null>("r1", fc.constantFrom(null, "r2")),
  frames: often<string[] | null>(null, fc.uniqueArray(frame, { minLength: 1 })),
  givenAt: moment,
  until: often<string | null>(null, fc.constantFrom("2026-03-01", "2026-03-02", "2026-03-03")),
  withdrawnAt: often<string | null>(null, moment),
});
const use: fc.Arbitrary<UseWanted> = fc.record({
  scope,
  at: moment,
  requestId: often("r1", fc.constant("r2")),
  frameId: often<string | null>("f1", fc.constantFrom("f2", null)),
  publication: often<string | null>("journal", fc.constantFrom("book", null)),
  persons: often<string[]>([], fc.constant(["A. Example"])),
});

test("against a slow literal twin: answers of every sort, in every order of time", () => {
  const seen = { covered: 0, refused: 0 };
  fc.assert(
    fc.property(fc.array(answer, { minLength: 1, maxLength: 7, size: "max" }), use, (answers, wantedUse) => {
      const decided = consentFor(answers, wantedUse);
      seen[decided.covered ? "covered" : "refused"]++;
      assert.equal(decided.covered, mayUse(answers, wantedUse));
      if (decided.covered) {
        for (const id of decided.consentIds) {
          const rested = answers.find((one) => one.id === id)!;
          assert.equal(rested.scope, wantedUse.scope);
          assert.equal(rested.answer, "given");
          assert.equal(rested.withdrawnAt, null);
        }
      } else assert.notEqual(decided.why, "");
    }),
    { numRuns: 20_000 },
  );
  assert.ok(seen.covered > 1000 && seen.refused > 1000, JSON.stringify(seen));
});

test("a further no never lets more out, and the order in which answers are listed does not matter", () => {
  fc.assert(
    fc.property(fc.array(answer, { maxLength: 6 }), answer, use, (answers, one, wantedUse) => {
      const before = consentFor(answers, wantedUse).covered;
      const no = { ...one, answer: "refused" as const };
      if (consentFor([...answers, no], wantedUse).covered) assert.ok(before);
      assert.equal(consentFor(answers.toReversed(), wantedUse).covered, before);
    }),
    { numRuns: 5_000 },
  );
});
