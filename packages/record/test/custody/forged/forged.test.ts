import assert from "node:assert/strict";
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";
import { sha256Of } from "../../../src/custody/canonical.ts";
import { verifyChain } from "../../../src/custody/chain.ts";
import { signedHeadOfFile } from "../../../src/custody/heads/signed-head.ts";
import { entriesOfText } from "../../../src/custody/lines.ts";
import { checkConsistency, checkInclusion } from "../../../src/custody/tree/check.ts";
import { headFaults, keyFindings, type LogSays } from "../../../src/verify/signed-heads.ts";
import { literalLeaf, mth } from "../tree/rfc6962.ts";
import type { Forged } from "./forged.ts";

const names = readdirSync(import.meta.dirname)
  .filter((name) => name.endsWith(".json"))
  .map((name) => name.replace(".json", ""))
  .sort();

test("there is a fixture for every forgery that the documentation names", () => {
  assert.deepEqual(names, [
    "altered",
    "endorsement-forged",
    "endorsement-missing",
    "head-of-another-log",
    "removed",
    "replayed",
    "replayed-head",
    "signed-by-another-key",
    "swapped",
    "tail-cut",
    "trailing-garbage",
    "untouched",
    "wrong-proof",
  ]);
});

/** What the lines say, by RFC 6962 taken word by word. */
function logSays(lines: readonly string[]): LogSays {
  const leaves = lines.map((line) => literalLeaf(Buffer.from(line)));
  const sizes = [...lines.keys(), lines.length];
  return {
    entries: lines.length,
    roots: new Map(sizes.map((size) => [size, mth(leaves.slice(0, size)).toString("hex")])),
    hashes: new Map(lines.map((line, i) => [i + 1, sha256Of(line)])),
    replaced: new Set(),
  };
}

/** Every fault that checking finds, each with what it is about. */
function faultsOf({ log, keys, heads, kept, inclusion, consistency }: Forged): string[] {
  const says = logSays(log);
  const chain = verifyChain(entriesOfText(log.join("")), null);
  const elsewhere = kept === null ? null : signedHeadOfFile(kept);
  return [
    ...chain.map(({ sequence, fault }) => `entry ${sequence}: ${fault}`),
    ...keyFindings(keys, says.replaced).faults.map(({ subject, fault }) => `key ${subject}: ${fault}`),
    ...heads.flatMap((head) => headFaults(head, keys, says).map((fault) => `head ${head.size}: ${fault}`)),
    ...(elsewhere ? headFaults(elsewhere.head, keys, says) : []).map(
      (fault) => `kept ${elsewhere?.head.size}: ${fault}`,
    ),
    ...(checkInclusion(inclusion) ? [] : [`inclusion: the line is not entry ${inclusion.sequence}`]),
    ...(checkConsistency(consistency) ? [] : ["consistency: the older log is not the beginning"]),
  ];
}

for (const name of names) {
  const forged = JSON.parse(readFileSync(join(import.meta.dirname, `${name}.json`), "utf8")) as Forged;
  test(`forgery ${name}: ${forged.why}`, () => {
    const found = faultsOf(forged);
    assert.equal(found.length, forged.faults.length, found.join("\n"));
    forged.faults.forEach((expected, i) => {
      assert.ok(found[i]?.startsWith(expected), `expected "${expected}", found "${found[i]}"`);
    });
  });
}
