import assert from "node:assert/strict";
import { generateKeyPairSync, sign } from "node:crypto";
import { chmod, cp, rename, rm, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { DatabaseSync } from "node:sqlite";
import { type TestContext, test } from "node:test";
import { openLibrary, signedHeadFile, signedHeadOfFile, signedHeadText } from "../src/index.ts";
import { steadyOptions, temporaryFolder } from "./support.ts";
import { fileOf, sqlIn, verified, type WholeLibrary, wholeLibrary } from "./whole-library.ts";

const made = async (t: TestContext) => wholeLibrary(await temporaryFolder(t));

test("a whole library holds, and what was destroyed is told, not blamed", async (t) => {
  const { folder, originals } = await made(t);
  const { faults, counts } = await verified(folder);
  assert.deepEqual(faults, []);
  const { originals: n, derived, copies, signedHeads, timeStamps, notes } = counts;
  assert.deepEqual([n, derived, copies, signedHeads, timeStamps], [2, 1, 2, 3, 0]);
  assert.equal(notes.length, 1);
  assert.match(
    notes[0] ?? "",
    new RegExp(`^Original ${originals[2]} .* was destroyed on .*: kept for 8 years`),
  );
});

/** Harms a whole library and says which faults must be named, and no other. */
function harmed(title: string, harm: (library: WholeLibrary) => Promise<readonly (string | RegExp)[]>): void {
  test(`verify names it: ${title}`, async (t) => {
    const library = await made(t);
    const expected = await harm(library);
    const { faults } = await verified(library.folder);
    assert.equal(faults.length, expected.length, faults.join("\n"));
    for (const want of expected) {
      const found = faults.some((text) =>
        typeof want === "string" ? text.startsWith(want) : want.test(text),
      );
      assert.ok(found, `${want} not in:\n${faults.join("\n")}`);
    }
  });
}

const free = (table: string, change: "update" | "delete") => `drop trigger ${table}_no_${change};`;
const gone = (table: string, change: string) =>
  `database samescale.db: the trigger ${table}_no_${change} is gone`;

harmed("a leaf, and a node above it, changed", async ({ folder }) => {
  const wrong = "ab".repeat(32);
  sqlIn(
    folder,
    `${free("tree_node", "update")} update tree_node set hash = '${wrong}' where level = 0 and position = 2;
    update tree_node set hash = '${wrong}' where level = 2 and position = 0`,
  );
  return [
    gone("tree_node", "update"),
    /^tree leaf of entry 3: is (ab)+, its line gives/,
    "tree node 1/1: is ",
    `tree node 2/0: is ${wrong}`,
    "tree node 3/0: is ",
  ];
});

harmed("nodes gone and nodes put in", async ({ folder }) => {
  sqlIn(
    folder,
    `${free("tree_node", "delete")} delete from tree_node where level = 1 and position = 0;
    insert into tree_node values (0, 99, '${"cd".repeat(32)}')`,
  );
  return [
    gone("tree_node", "delete"),
    "tree leaf of entry 100: is kept, and the log has no such entry",
    "tree level 1: has 3 nodes, 9 leaves make 4",
    "tree node 2/0: is ",
  ];
});

harmed("a signed head over another root", async ({ folder }) => {
  sqlIn(
    folder,
    `${free("signed_head", "update")} update signed_head set root = '${"ab".repeat(32)}'
    where size = (select max(size) from signed_head)`,
  );
  return [
    gone("signed_head", "update"),
    /^head signed head \d+: its signature does not fit/,
    /^head signed head \d+: was signed over the root/,
  ];
});

harmed("a key that nobody endorses", async ({ folder }) => {
  sqlIn(
    folder,
    "update signing_key set endorsed_by = null, endorsement = null where endorsed_by is not null",
  );
  return [
    /^row signing_key\/.*: was changed without an act/,
    /^key .*: is not endorsed by the key before it/,
  ];
});

harmed("an endorsement by another key", async ({ folder }) => {
  const forged = sign(null, Buffer.from("I endorse"), generateKeyPairSync("ed25519").privateKey);
  sqlIn(
    folder,
    `update signing_key set endorsement = '${forged.toString("base64")}' where endorsed_by is not null`,
  );
  return [
    /^row signing_key\/.*: was changed without an act/,
    /^key .*: is endorsed by a signature that does not fit the key before it/,
  ];
});

harmed("a key exchanged for another", async ({ folder }) => {
  const other = generateKeyPairSync("ed25519").publicKey.export({ type: "spki", format: "pem" });
  sqlIn(folder, `update signing_key set public_key = '${other}' where retired_at is null`);
  return [
    /^row signing_key\/.*: was changed without an act/,
    /^key .*: its public key does not have the SHA-256/,
    /^head signed head \d+: its signature does not fit/,
    /^head signed head \d+: its signature does not fit/,
  ];
});

harmed(
  "a derived picture changed, one gone, one that nobody made",
  async ({ folder, thumbnail, originals }) => {
    const at = fileOf(folder, "derived", thumbnail);
    await chmod(at, 0o600);
    await writeFile(at, "another picture");
    await cp(fileOf(folder, "originals", originals[0]), join(folder, "derived/stray.jpg"));
    return [
      `derived ${thumbnail}: picture/p1: expected 90 bytes, found 15`,
      `derived ${thumbnail}: its bytes were changed`,
      /^derived .*stray\.jpg: does not belong here/,
    ];
  },
);

harmed("a derived picture gone", async ({ folder, thumbnail }) => {
  await rm(fileOf(folder, "derived", thumbnail));
  return [`derived ${thumbnail}: is missing: picture/p1, 90 bytes`];
});

harmed(
  "a destroyed original that is still here",
  async ({ folder, place, originals: [first, , destroyed] }) => {
    for (const at of [folder, place]) {
      const target = fileOf(at, "originals", destroyed);
      await cp(fileOf(folder, "originals", first), target);
    }
    return [
      `original ${destroyed}: is here, and the record says that it was destroyed`,
      `original ${destroyed}: its bytes were changed`,
      /^copy .*: is here, and the record says that its original was destroyed/,
    ];
  },
);

harmed("a second copy changed and one gone", async ({ place, originals: [first, second] }) => {
  const at = fileOf(place, "originals", first);
  await chmod(at, 0o600);
  await writeFile(at, "x");
  await rm(fileOf(place, "originals", second));
  return [
    new RegExp(`^copy .*${first}: its bytes were changed`),
    new RegExp(`^copy .*${second}: is missing at the second place`),
  ];
});

harmed("another disk at the second place: one fault, not one for each file", async ({ place }) => {
  await rm(place, { recursive: true });
  await cp(import.meta.dirname, place, { recursive: true, filter: (from) => !from.includes("/custody") });
  return [/^copy .*second: has no samescale-second-copy\.txt: .* 3 copies belong here/];
});

harmed("another key in the key's place, or none that can be read", async ({ folder }) => {
  const { privateKey } = generateKeyPairSync("ed25519");
  const file = join(folder, "keys/signing-key.pem");
  await writeFile(file, privateKey.export({ type: "pkcs8", format: "pem" }));
  return [/^file .*signing-key\.pem: is another key than [0-9a-f]{64}/];
});

harmed("a key that others may read", async ({ folder }) => {
  await chmod(join(folder, "keys/signing-key.pem"), 0o640);
  return [/^file .*signing-key\.pem: .*may be read by others \(mode 0640\)/];
});

test("a second place that cannot be reached is a note", async (t) => {
  const { folder, place } = await made(t);
  await rename(place, `${place}-away`);
  const { faults, counts } = await verified(folder);
  assert.deepEqual(faults, []);
  assert.match(counts.notes.at(-1) ?? "", /^3 second copies at .* were not checked/);
});

test("a signed head kept elsewhere finds the log that was written anew, and one of another library", async (t) => {
  const { folder } = await made(t);
  const library = await openLibrary(folder, { mode: "open", ...steadyOptions() });
  const head = await library.signHead();
  const pem = (
    await library.read
      .selectFrom("signing_key")
      .select("public_key")
      .where("id", "=", head.keyId)
      .executeTakeFirstOrThrow()
  ).public_key;
  await library.close();
  const keptSigned = signedHeadOfFile(signedHeadFile(head, pem)) ?? undefined;
  assert.ok(keptSigned);
  assert.deepEqual((await verified(folder, { keptSigned })).faults, []);

  const other = (await wholeLibrary(await temporaryFolder(t))).folder;
  const { faults } = await verified(other, { keptSigned });
  assert.equal(faults.length, 3, faults.join("\n"));
  assert.match(
    faults[0] ?? "",
    /^head the signed head kept elsewhere, \d+: is signed by .*, which is no key of this/,
  );

  // Its owner writes the log anew, with everything that can be computed; only the kept head is not his to change.
  const database = new DatabaseSync(join(folder, "samescale.db"));
  database.exec(`${free("act", "delete")} ${free("tree_node", "delete")} ${free("signed_head", "delete")}
    delete from signed_head; delete from tree_node where level > 0 or position > 0; delete from act where sequence > 1`);
  database.close();
  const cut = await verified(folder, { keptSigned });
  assert.ok(
    cut.faults.some((fault) =>
      /^head the signed head kept elsewhere, \d+: was signed over \d+ entries, the log ends with entry 1/.test(
        fault,
      ),
    ),
  );
  assert.equal(signedHeadOfFile(`${signedHeadText(head)}signature x\n`), null);
});
