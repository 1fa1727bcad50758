import assert from "node:assert/strict";
import { join } from "node:path";
import { test } from "node:test";
import { entriesOfText } from "../../src/custody/lines.ts";
import { entriesOf, exportedLine, openLibrary, verifyChain, verifyLibrary } from "../../src/index.ts";
import { all, steadyOptions, temporaryFolder } from "../support.ts";

const HOSTILE = [
  "line\nfeed",
  `${"0".repeat(64)} {"act":"forged"}\n`,
  "\r\n\u0000\u001b[2J\u2028\u2029\u202e",
  '"},"actor":"photographer:nobody","x":{"',
  "x".repeat(1_000_000),
  "'; drop table act; --",
  "😀 \ufeff \u0301",
];

test("no text in an act can end its line, stand in for an entry or hide one", async (t) => {
  const library = await openLibrary(join(await temporaryFolder(t), "library"), steadyOptions());
  t.after(() => library.close());
  for (const text of HOSTILE) {
    await library.write(`photographer:${text.slice(0, 100)}`, async () => ({
      value: null,
      deed: { act: "note", subject: text, details: { because: text, [text.slice(0, 50)]: text } },
    }));
  }
  const entries = await all(entriesOf(library.read));
  const lines = entries.map(exportedLine);
  assert.equal(lines.length, HOSTILE.length + 1);
  for (const line of lines) assert.equal(line.indexOf("\n"), line.length - 1);
  for (const line of lines) assert.doesNotMatch(line.slice(0, -1), /[\u0000-\u001f]/);
  assert.deepEqual(entriesOfText(lines.join("")), entries);
  assert.deepEqual(verifyChain(entries, null), []);
  await library.signHead();
  assert.deepEqual(await all(verifyLibrary(library)), []);
});

test("broken UTF-16 in an act is refused, and nothing of it is written", async (t) => {
  const library = await openLibrary(join(await temporaryFolder(t), "library"), steadyOptions());
  t.after(() => library.close());
  for (const deed of [
    { act: "note", subject: "a\ud800" },
    { act: "note", subject: "a", details: { because: "\udc00b" } },
    { act: "note", subject: "a", details: { "\ud800": 1 } },
  ]) {
    await assert.rejects(
      library.write("photographer:mara", async () => ({ value: null, deed })),
      {
        code: "NOT_CANONICAL",
      },
    );
  }
  assert.equal((await all(entriesOf(library.read))).length, 1);
});
