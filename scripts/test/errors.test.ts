import assert from "node:assert/strict";
import { globSync, readFileSync } from "node:fs";
import { test } from "node:test";

const codesInSource = new Set<string>();
for (const file of globSync("{packages,apps}/*/src/**/*.ts")) {
  const source = readFileSync(file, "utf8");
  for (const [, code] of source.matchAll(/new SamescaleError\(\s*"([A-Z0-9_]+)"/g))
    codesInSource.add(code as string);
  // Reports made without the class; system faults such as EISDIR have no underscore.
  for (const [, code] of source.matchAll(/\bcode: "([A-Z][A-Z0-9]*_[A-Z0-9_]+|INTERNAL)"/g)) {
    codesInSource.add(code as string);
  }
  if (file.endsWith("errors/src/index.ts")) {
    for (const [, code] of source.matchAll(/\["([A-Z_]+)", "/g)) codesInSource.add(code as string);
  }
}
const codesInTable = readFileSync("docs/errors.md", "utf8")
  .split("\n")
  .flatMap((line) => line.match(/^\| ([A-Z][A-Z0-9_]+) \|/)?.[1] ?? []);

test("every error code in the source has a row in docs/errors.md", () => {
  assert.deepEqual([...codesInSource].filter((code) => !codesInTable.includes(code)).sort(), []);
});

test("every row in docs/errors.md is a code that the source can give, once", () => {
  assert.deepEqual(codesInTable.filter((code) => !codesInSource.has(code)).sort(), []);
  assert.equal(new Set(codesInTable).size, codesInTable.length);
});
