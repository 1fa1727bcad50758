import assert from "node:assert/strict";
import { globSync, readFileSync } from "node:fs";
import { test } from "node:test";

const keys = new Set(
  readFileSync("docs/sources.md", "utf8")
    .split("\n")
    .flatMap((line) => line.match(/^\| ([A-Za-z][A-Za-z0-9-]+) \|/)?.[1] ?? []),
);

test("every @source key in the code is in docs/sources.md", () => {
  const missing: string[] = [];
  for (const file of globSync("{packages,apps}/*/src/**/*.ts")) {
    for (const [, key] of readFileSync(file, "utf8").matchAll(/@source ([A-Za-z][A-Za-z0-9-]+)/g)) {
      if (!keys.has(key as string)) missing.push(`${file}: ${key}`);
    }
  }
  assert.deepEqual(missing, []);
});
