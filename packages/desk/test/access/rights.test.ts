import assert from "node:assert/strict";
import { globSync, readFileSync } from "node:fs";
import { resolve } from "node:path";
import { before, test } from "node:test";
import { pathToFileURL } from "node:url";
import { RIGHTS, rightsTable } from "../../src/access/rights.ts";
import { definedActs } from "../../src/act/define-act.ts";

const SRC = resolve(import.meta.dirname, "../../src");
const PEOPLE_PAGE = resolve(import.meta.dirname, "../../../../docs/people.md");

/** Every module that defines an act, whether or not the package's door leads to it. */
before(async () => {
  for (const file of globSync(`${SRC}/**/*.ts`)) {
    if (/\bdefineAct\b/.test(readFileSync(file, "utf8"))) await import(pathToFileURL(file).href);
  }
});

test("every act of the desk stands in the table of rights, and the table has no others", () => {
  const missing = [...definedActs.keys()].filter((name) => !(name in RIGHTS));
  const gone = Object.keys(RIGHTS).filter((name) => !definedActs.has(name));
  assert.ok(definedActs.size > 25, "acts were found");
  assert.deepEqual(missing, [], `add to packages/desk/src/access/rights.ts: ${missing.join(", ")}`);
  assert.deepEqual(gone, [], `take out of packages/desk/src/access/rights.ts: ${gone.join(", ")}`);
});

test("who may do an act is the same in the table as where the act is", () => {
  for (const [name, may] of definedActs) {
    const inTable = RIGHTS[name]?.may ?? [];
    assert.deepEqual([...may].toSorted(), [...inTable].toSorted(), `${name}: table and act differ`);
  }
});

test("those who need no pictures for their work change nothing about them", () => {
  const NOT_ABOUT_PICTURES = /^(account|session)\./;
  for (const [name, { may }] of Object.entries(RIGHTS)) {
    if (NOT_ABOUT_PICTURES.test(name)) continue;
    assert.ok(!may.includes("administrator"), `${name} is not an administrator's`);
    if (may.includes("auditor")) assert.equal(name, "access.review");
    if (may.includes("viewer")) assert.match(name, /^(access\.emergency|look\.sensitive)$/);
  }
  for (const name of ["account.add", "account.change", "account.end"]) {
    assert.deepEqual(RIGHTS[name]?.may, ["administrator"]);
  }
});

test("the page for people carries this very table", () => {
  const page = readFileSync(PEOPLE_PAGE, "utf8");
  const between = /<!-- rights -->\n([\s\S]*?)\n<!-- end of rights -->/.exec(page);
  assert.equal(between?.[1], rightsTable(), "run: npm run generate");
});
