import assert from "node:assert/strict";
import {
  chmod,
  chown,
  cp,
  mkdir,
  readdir,
  readFile,
  rename,
  rm,
  stat,
  symlink,
  writeFile,
} from "node:fs/promises";
import { join } from "node:path";
import { type TestContext, test } from "node:test";
import { makeKeyFile, nextKeyFile, readKeyFile } from "../../../src/custody/heads/key-file.ts";
import { keyIdOf } from "../../../src/custody/heads/keys.ts";
import { entriesOf, type Library, openLibrary, publicKeysOf, signedHeadsOf } from "../../../src/index.ts";
import { all, steadyOptions, temporaryFolder } from "../../support.ts";

async function fresh(t: TestContext, keyFile?: string): Promise<Library> {
  const options = { ...steadyOptions(), ...(keyFile ? { keyFile } : {}) };
  const library = await openLibrary(join(await temporaryFolder(t), "library"), options);
  t.after(() => library.close());
  return library;
}

const modeOf = async (path: string) => ((await stat(path)).mode & 0o777).toString(8);

const actsOf = async (library: Library) =>
  (await all(entriesOf(library.read))).map((entry) => (entry as { act: string }).act);

test("the first signing makes the key, strictly kept; the same head is signed once", async (t) => {
  const library = await fresh(t);
  const head = await library.signHead();
  assert.equal(await modeOf(library.keyFile), "600");
  assert.equal(await modeOf(join(library.folder, "keys")), "700");
  assert.deepEqual(await actsOf(library), ["library.make", "key.make"]);
  assert.equal(head.size, 2);
  assert.deepEqual(await library.signHead(), head);
  assert.equal((await signedHeadsOf(library.read)).length, 1);
  assert.doesNotMatch(JSON.stringify(await all(entriesOf(library.read))), /PRIVATE/);
});

test("of several who make a key at once one does, and the others find it whole", async (t) => {
  const file = join(await temporaryFolder(t), "keys/key.pem");
  const made = await Promise.all(
    Array.from({ length: 20 }, async () => [await makeKeyFile(file), await readKeyFile(file)]),
  );
  assert.equal(made.filter(([own]) => own !== null).length, 1);
  const ids = new Set(made.flat().flatMap((key) => (key ? [keyIdOf(key)] : [])));
  assert.equal(ids.size, 1);
  assert.deepEqual(await readdir(join(file, "..")), ["key.pem"]);
});

test("a key outside of the library is made and used where it is named", async (t) => {
  const keyFile = join(await temporaryFolder(t), "safe/key.pem");
  const library = await fresh(t, keyFile);
  await library.signHead();
  assert.equal(await modeOf(keyFile), "600");
  await assert.rejects(stat(join(library.folder, "keys")), { code: "ENOENT" });
});

test("a new key is endorsed by the one before, whose private part is gone; old heads keep theirs", async (t) => {
  const library = await fresh(t);
  const first = await library.signHead();
  const second = await library.rotateKey("administrator:ines", "yearly", false);
  const [old, key] = await publicKeysOf(library.read);
  assert.equal(old?.id, first.keyId);
  assert.equal(old?.retiredAt, key?.madeAt);
  assert.equal(key?.endorsedBy, first.keyId);
  assert.equal(second.keyId, key?.id);
  assert.ok((await readFile(library.keyFile, "utf8")).includes("PRIVATE KEY"));
  assert.equal(keyIdOf((await readKeyFile(library.keyFile)) ?? ""), key?.id);
  await assert.rejects(stat(nextKeyFile(library.keyFile)), { code: "ENOENT" });
  assert.deepEqual(await actsOf(library), ["library.make", "key.make", "key.rotate"]);
});

test("a rotation that was killed before or after the log told of it is finished or forgotten", async (t) => {
  const library = await fresh(t);
  const first = await library.signHead();
  await writeFile(nextKeyFile(library.keyFile), "half a key", { mode: 0o600 });
  assert.equal((await library.signHead()).keyId, first.keyId, "killed before: the old key goes on");
  const before = await readFile(library.keyFile, "utf8");
  const second = await library.rotateKey("administrator:ines", "yearly", false);
  // Killed after the log told of it, before the file got its name: both keys lie there.
  await rename(library.keyFile, nextKeyFile(library.keyFile));
  await writeFile(library.keyFile, before, { mode: 0o600 });
  await library.write("photographer:mara", async () => ({
    value: null,
    deed: { act: "note", subject: "library/x" },
  }));
  assert.equal((await library.signHead()).keyId, second.keyId);
});

test("a key that is lost is replaced in the open; without that word nothing is signed", async (t) => {
  const library = await fresh(t);
  await library.signHead();
  await rm(library.keyFile);
  await library.write("photographer:mara", async () => ({
    value: null,
    deed: { act: "note", subject: "library/x" },
  }));
  await assert.rejects(library.signHead(), { code: "KEY_MISSING", help: /custody rotate --lost/ });
  await assert.rejects(library.rotateKey("lead:ines", "yearly", false), { code: "KEY_MISSING" });
  await library.rotateKey("lead:ines", "the disk of the key died", true);
  assert.deepEqual((await actsOf(library)).slice(-1), ["key.replace"]);
  assert.equal((await publicKeysOf(library.read)).at(-1)?.endorsedBy, null);
});

test("clocks that are set back do not change which key follows which", async (t) => {
  const folder = join(await temporaryFolder(t), "library");
  let hour = 12;
  const library = await openLibrary(folder, { clock: () => new Date(Date.UTC(2026, 2, 15, hour)) });
  t.after(() => library.close());
  const first = await library.signHead();
  hour = 3;
  const second = await library.rotateKey("lead:ines", "yearly", false);
  assert.deepEqual(
    (await publicKeysOf(library.read)).map(({ id }) => id),
    [first.keyId, second.keyId],
  );
});

test("a library that is only read signs nothing", async (t) => {
  const library = await fresh(t);
  const reader = await openLibrary(library.folder, { mode: "read" });
  await assert.rejects(reader.signHead(), { code: "LIBRARY_READ_ONLY" });
  await assert.rejects(reader.rotateKey("lead:ines", "x", false), { code: "LIBRARY_READ_ONLY" });
  await reader.close();
  assert.deepEqual(await actsOf(library), ["library.make"]);
});

/** Makes a signed library, harms its key file, and says why it must be refused from then on. */
function refused(
  title: string,
  harm: (file: string) => Promise<unknown>,
  code: string,
  message: RegExp,
): void {
  test(`a key file is refused: ${title}`, async (t) => {
    const library = await fresh(t);
    await library.signHead();
    if ((await harm(library.keyFile)) === "skip") return t.skip("playing another user needs root");
    await assert.rejects(library.rotateKey("lead:ines", "yearly", false), { code, message });
  });
}

refused(
  "others may read it",
  (file) => chmod(file, 0o644),
  "KEY_TOO_OPEN",
  /may be read by others \(mode 0644\)/,
);
refused(
  "others may enter its folder",
  (file) => chmod(join(file, ".."), 0o755),
  "KEY_TOO_OPEN",
  /may be entered by others/,
);
refused(
  "it is a link",
  async (file) => {
    await cp(file, `${file}.real`);
    await rm(file);
    await symlink(`${file}.real`, file);
  },
  "KEY_TOO_OPEN",
  /is a link/,
);
refused(
  "its folder is a link",
  async (file) => {
    await rename(join(file, ".."), join(file, "../../elsewhere"));
    await symlink("elsewhere", join(file, ".."));
  },
  "KEY_TOO_OPEN",
  /is a link/,
);
refused(
  "it is a folder",
  async (file) => {
    await rm(file);
    await mkdir(file, { mode: 0o700 });
  },
  "KEY_TOO_OPEN",
  /is not a plain file/,
);
refused(
  "it belongs to another user",
  async (file) => (process.getuid?.() === 0 ? chown(file, 65534, 65534) : "skip"),
  "KEY_TOO_OPEN",
  /belongs to another user/,
);
refused(
  "it holds something else",
  (file) => writeFile(file, "-----BEGIN"),
  "KEY_UNREADABLE",
  /is not an Ed25519/,
);
refused("it is endless", (file) => writeFile(file, "x".repeat(5000)), "KEY_UNREADABLE", /is too long/);
