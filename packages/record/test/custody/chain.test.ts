import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";
import {
  EMPTY_HEAD,
  type Entry,
  follow,
  type Head,
  headOf,
  lineOf,
  verifyChain,
} from "../../src/custody/chain.ts";
import { entriesOfText } from "../../src/custody/lines.ts";
import { temporaryFolder } from "../support.ts";

interface Fixture {
  readonly why: string;
  /** Kept elsewhere before the forgery; null: nobody kept one. */
  readonly head: Head | null;
  readonly entries: readonly unknown[];
  /** Every fault, as `sequence: part of the sentence`; empty: cannot be found, and `why` says why. */
  readonly faults: readonly string[];
}

const fixtures = readdirSync(import.meta.dirname)
  .filter((name) => name.endsWith(".json"))
  .sort();

test("there is a fixture for every forgery that the documentation names", () => {
  assert.deepEqual(
    fixtures.map((name) => name.replace(".json", "")),
    [
      "another-log",
      "entry-doubled",
      "entry-removed",
      "field-changed",
      "hash-recomputed-at-the-end",
      "hash-recomputed",
      "rewritten-from-the-middle",
      "tail-cut-without-a-head",
      "tail-cut",
      "trailing-garbage",
      "two-swapped",
      "untouched",
    ],
  );
});

for (const name of fixtures) {
  const fixture = JSON.parse(readFileSync(join(import.meta.dirname, name), "utf8")) as Fixture;
  test(`forgery ${name}: ${fixture.why}`, () => {
    const found = verifyChain(fixture.entries, fixture.head).map(
      ({ sequence, fault }) => `${sequence}: ${fault}`,
    );
    assert.equal(found.length, fixture.faults.length, found.join("\n"));
    fixture.faults.forEach((expected, at) => {
      assert.ok(found[at]?.startsWith(expected), `expected "${expected}", found "${found[at]}"`);
    });
  });
}

const entries = (JSON.parse(readFileSync(join(import.meta.dirname, "untouched.json"), "utf8")) as Fixture)
  .entries as Entry[];

test("the head is computed from what the entries say, not from the hashes that they carry", () => {
  const last = entries.at(-1) as Entry;
  assert.deepEqual(headOf(entries), { sequence: last.sequence, hash: last.hash });
  const lying = entries.map((entry) => ({ ...entry, hash: "0".repeat(64), previous: "f".repeat(64) }));
  assert.deepEqual(headOf(lying), headOf(entries));
  assert.deepEqual(headOf([]), EMPTY_HEAD);
});

test("an exported line reads back as its entry, and any changed byte is seen", () => {
  const text = entries.map(lineOf).join("");
  assert.deepEqual(entriesOfText(text), entries);
  for (let at = 0; at < text.length; at += 7) {
    const other = text[at] === "a" ? "b" : "a";
    const changed = text.slice(0, at) + other + text.slice(at + 1);
    const head = headOf(entries);
    assert.ok(verifyChain(entriesOfText(changed), head).length > 0, `byte ${at}`);
  }
  assert.ok(verifyChain(entriesOfText(`${text}{"junk":1}`), null).length > 0, "garbage without a line feed");
  assert.ok(verifyChain(entriesOfText(`${text}\n`), null).length > 0, "an empty line");
});

test("text in an entry cannot end its line or stand in for another", () => {
  const hostile = 'x\n0000 {"act":1}\r\u2028\u0000 end';
  const entry = follow(EMPTY_HEAD, {
    time: "2026-03-15T09:00:00.000Z",
    actor: hostile,
    act: "file.store",
    subject: hostile,
    details: { [hostile]: hostile },
  });
  const line = lineOf(entry);
  assert.equal(line.indexOf("\n"), line.length - 1);
  assert.deepEqual(entriesOfText(line), [entry]);
});

/** The lines of shell that docs/record.md gives a third party, as they stand there. */
function documentedCheck(): string {
  const page = readFileSync(join(import.meta.dirname, "../../../../docs/record.md"), "utf8");
  const block = /<!-- check-log -->\n```sh\n([\s\S]*?)```/.exec(page)?.[1];
  assert.ok(block, "docs/record.md holds the block");
  return block;
}

test("the documented lines of shell check an exported log with sha256sum alone", async (t) => {
  const folder = await temporaryFolder(t);
  const run = (text: string): { status: number; out: string } => {
    writeFileSync(join(folder, "custody.log"), text);
    try {
      const out = execFileSync("sh", ["-c", documentedCheck()], {
        cwd: folder,
        encoding: "utf8",
        stdio: "pipe",
      });
      return { status: 0, out };
    } catch (thrown) {
      const failed = thrown as { status: number; stdout: string };
      return { status: failed.status, out: failed.stdout };
    }
  };
  const lines = entries.map(lineOf);
  const whole = run(lines.join(""));
  assert.equal(whole.status, 0);
  assert.equal(whole.out.trim().split("\n").at(-1), `${entries.length}:${(entries.at(-1) as Entry).hash}`);
  const removed = run(lines.toSpliced(2, 1).join(""));
  assert.equal(removed.status, 1);
  assert.match(removed.out, /^entry 3 /m);
  assert.equal(run([lines[1], lines[0], ...lines.slice(2)].join("")).status, 1);
  assert.equal(run(lines.join("").replace("mara", "dora")).status, 1);
  assert.equal(run(`${lines.join("")}garbage\n`).status, 1);
  const cut = run(lines.slice(0, -1).join(""));
  assert.equal(cut.status, 0, "a cut tail shows only against the head kept elsewhere");
  assert.notEqual(cut.out, whole.out);
});
