import assert from "node:assert/strict";
import { test } from "node:test";
import fc from "fast-check";
import { CONSENT_SCOPES } from "../src/consent/scopes.ts";
import { type Consent, whyNotCovered } from "../src/consent.ts";

const given = (fields: Partial<Consent>): Consent => ({
  scope: "health-record",
  givenBy: "the patient",
  givenOn: "2026-03-01",
  until: null,
  withdrawnOn: null,
  ...fields,
});

test("a scope that was given holds from its day on", () => {
  assert.equal(whyNotCovered([given({})], "health-record", "2026-03-01"), null);
  assert.match(whyNotCovered([given({})], "health-record", "2026-02-28") ?? "", /does not hold/);
});

test("no scope follows from another, not one from all the others together", () => {
  fc.assert(
    fc.property(fc.constantFrom(...CONSENT_SCOPES), (wanted) => {
      const others = CONSENT_SCOPES.filter((s) => s !== wanted).map((scope) => given({ scope }));
      assert.match(whyNotCovered(others, wanted, "2026-03-02") ?? "", /No consent was given/);
    }),
  );
});

test("withdrawal ends it on its own day, and an agreed end the day after", () => {
  const withdrawn = [given({ withdrawnOn: "2026-04-01" })];
  assert.equal(whyNotCovered(withdrawn, "health-record", "2026-03-31"), null);
  assert.match(whyNotCovered(withdrawn, "health-record", "2026-04-01") ?? "", /withdrawn on 2026-04-01/);
  const ended = [given({ until: "2026-04-01" })];
  assert.equal(whyNotCovered(ended, "health-record", "2026-04-01"), null);
  assert.match(whyNotCovered(ended, "health-record", "2026-04-02") ?? "", /does not hold/);
});

test("consent given again after a withdrawal holds", () => {
  const again = [given({ withdrawnOn: "2026-04-01" }), given({ givenOn: "2026-05-01" })];
  assert.equal(whyNotCovered(again, "health-record", "2026-05-02"), null);
});
