import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";
import { CONSENT_SCOPES } from "../../src/consent/scopes.ts";
import { wordingFor } from "../../src/department/consent-rules.ts";
import { departmentOf } from "../../src/department/department.ts";
import { openYaml, type PracticeFault, sayFault } from "../../src/read/yaml-file.ts";

const STARTING = readFileSync(join(import.meta.dirname, "../../starting/department.yaml"), "utf8");
const WITHOUT = STARTING.slice(0, STARTING.indexOf("\nconsent:"));

const read = (text: string) => {
  const found: PracticeFault[] = [];
  const rules = departmentOf(openYaml({ path: "department.yaml", text }, found));
  return { rules, faults: found.map(sayFault) };
};

test("the starting practice has a plain text for every scope, marked as nobody's own", () => {
  const { rules, faults } = read(STARTING);
  assert.deepEqual(faults, []);
  for (const scope of CONSENT_SCOPES) {
    const wording = wordingFor(rules!.consent, scope);
    assert.equal(wording?.version, "0 set your own");
    // Said in each of them, after trade facts 7.1: one may say no, and care does not change.
    assert.match(wording.text, /You may say no/);
    assert.match(wording.text, /care does not change/);
  }
  // What cannot be undone is said when consent is asked for (trade facts 7.2), and that the internet is open to all (7.1).
  assert.match(wordingFor(rules!.consent, "publication-print")!.text, /cannot be called back/);
  assert.match(wordingFor(rules!.consent, "publication-open-web")!.text, /Anybody in the world/);
  assert.match(wordingFor(rules!.consent, "evidence")!.text, /in court/);
});

test("a practice that says nothing has no text to put, and the usual ages and days", () => {
  const { rules, faults } = read(WITHOUT);
  assert.deepEqual(faults, []);
  assert.deepEqual(rules!.consent, {
    ageOfMajority: 18,
    leapDayBirthday: "03-01",
    tellDaysBefore: 30,
    wordings: [],
  });
  assert.equal(wordingFor(rules!.consent, "teaching"), null);
});

test("the last text of a scope is put, earlier versions stay; what does not hold is named", () => {
  const wordings = (...lines: string[]) =>
    read(`${WITHOUT}\nconsent:\n  wordings:\n${lines.map((line) => `    - ${line}\n`).join("")}`);
  const text = "text: May pictures of you be shown to students?";
  const two = wordings(
    `{ scope: teaching, version: 1, ${text} }`,
    `{ scope: teaching, version: 2, ${text} }`,
  );
  assert.equal(wordingFor(two.rules!.consent, "teaching")?.version, "2");
  for (const [line, says] of [
    [`{ scope: teaching, version: 1, ${text} }`, /line \d+, consent\.wordings.*is there twice/],
    ["{ scope: everything, version: 2, text: May pictures of you be shown? }", /consent\.wordings.*scope/],
    ["{ scope: teaching, version: 2, text: Yes? }", /consent\.wordings.*text/],
    [`{ scope: teaching, version: "*", ${text} }`, /expected letters, digits/],
  ] as const) {
    const { rules, faults } = wordings(`{ scope: teaching, version: 1, ${text} }`, line);
    assert.equal(rules, null);
    assert.match(faults.join("\n"), says);
  }
});
