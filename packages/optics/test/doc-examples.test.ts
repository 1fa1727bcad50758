import assert from "node:assert/strict";
import { readdirSync, readFileSync } from "node:fs";
import { test } from "node:test";
import * as optics from "../src/index.ts";

const SOURCES = new URL("../src/", import.meta.url);

for (const file of readdirSync(SOURCES).filter((name) => name !== "index.ts")) {
  const text = readFileSync(new URL(file, SOURCES), "utf8");
  for (const [, expression = "", expected = ""] of text.matchAll(/^ \* @example (.+) \/\/ (.+)$/gm)) {
    test(`the example in ${file} gives what it says: ${expression}`, () => {
      compare(evaluate(expression), evaluate(expected));
    });
  }
}

/** The examples are our own comments, one expression each over what the package exports. */
function evaluate(expression: string): unknown {
  return new Function(...Object.keys(optics), `return (${expression});`)(...Object.values(optics));
}

/** Numbers may differ by what the comment rounded away: six digits. */
function compare(actual: unknown, expected: unknown): void {
  if (typeof expected === "number" && typeof actual === "number" && Number.isFinite(expected)) {
    assert.ok(
      Math.abs(actual - expected) <= 1e-6 * Math.max(1, Math.abs(expected)),
      `${actual}, not ${expected}`,
    );
  } else if (typeof expected === "object" && expected !== null && !Array.isArray(expected)) {
    assert.ok(typeof actual === "object" && actual !== null);
    assert.deepEqual(Object.keys(actual).sort(), Object.keys(expected).sort());
    for (const [key, value] of Object.entries(expected))
      compare((actual as Record<string, unknown>)[key], value);
  } else {
    assert.deepEqual(actual, expected);
  }
}
