import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import { existsSync } from "node:fs";
import { cp, mkdir, readFile, rm, symlink, truncate, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { type TestContext, test } from "node:test";
import { addPatient, checkProofs, type Desk, doneOrThrow, proofFiles } from "../../src/index.ts";
import { freshDesk, MARA, temporaryFolder } from "../support.ts";

const hasOpenssl = spawnSync("openssl", ["version"]).status === 0;

/** A desk whose log has eleven entries and more to come. */
async function grown(t: TestContext): Promise<Desk> {
  const desk = await freshDesk(t);
  await desk.library.signHead();
  for (let n = 0; n < 9; n++) {
    const patient = { number: `HN1000${n}`, authority: "H", name: `Ada ${n}`, birthDate: null };
    doneOrThrow(await addPatient(desk, MARA, patient));
  }
  return desk;
}

async function proofs(t: TestContext, desk: Desk, entries: readonly number[], since: number | null = null) {
  const folder = await temporaryFolder(t);
  const files = await proofFiles(desk, MARA, { entries, subjects: [], since });
  for (const { name, text } of files) await writeFile(join(folder, name), text);
  return folder;
}

async function faultsIn(folder: string, key: string | null = null): Promise<string[]> {
  const faults: string[] = [];
  for await (const { file, holds, says } of checkProofs(folder, key)) {
    if (!holds) faults.push(`${file}: ${says}`);
  }
  return faults;
}

test("every entry of a log is proved, and that it grew from each earlier one", async (t) => {
  const desk = await grown(t);
  const all = Array.from({ length: 11 }, (_, at) => at + 1);
  const folder = await proofs(t, desk, all);
  assert.deepEqual(await faultsIn(folder), []);
  for (const since of all) assert.deepEqual(await faultsIn(await proofs(t, desk, [], since)), [], `${since}`);
});

/** The lines that lie in every folder of proofs, as they stand there. */
async function runHowToCheck(folder: string, shell: string): Promise<{ status: number; out: string }> {
  const page = await readFile(join(folder, "HOW-TO-CHECK.txt"), "utf8");
  const lines = page.slice(page.indexOf("# 1."));
  const run = spawnSync(shell, ["-c", lines], { cwd: folder, encoding: "utf8" });
  return { status: run.status ?? -1, out: run.stdout };
}

test("the lines of shell in the folder check it with sha256sum and openssl alone", async (t) => {
  if (!hasOpenssl) return t.skip("openssl is not installed");
  const desk = await grown(t);
  for (const since of [4, 7]) {
    const folder = await proofs(t, desk, [6, 11], since);
    const { status, out } = await runHowToCheck(folder, "sh");
    assert.equal(status, 0, out);
    assert.match(out, /^entry 11 OK\nentry 6 OK\nthe log of \d+ entries .*OK$/m);
  }
});

test("docs/custody.md gives the very lines that lie in every folder", async (t) => {
  const folder = await proofs(t, await grown(t), [1]);
  const said = await readFile(join(folder, "HOW-TO-CHECK.txt"), "utf8");
  const page = await readFile(join(import.meta.dirname, "../../../../docs/custody.md"), "utf8");
  const block = /<!-- check-proofs -->\n```sh\n([\s\S]*?)```/.exec(page)?.[1];
  assert.equal(block, said.slice(said.indexOf("# 1.")));
});

test("the same lines run in another shell", async (t) => {
  if (!hasOpenssl || spawnSync("bash", ["-c", "true"]).status !== 0)
    return t.skip("openssl or bash is not installed");
  const folder = await proofs(t, await grown(t), [3], 5);
  assert.equal((await runHowToCheck(folder, "bash")).status, 0);
});

test("names of files that a shell could take for commands stop the check and do nothing", async (t) => {
  if (!hasOpenssl) return t.skip("openssl is not installed");
  const folder = await proofs(t, await grown(t), [3]);
  await writeFile(join(folder, "entry-a[$(touch owned)].line"), "x\n");
  for (const shell of ["sh", "bash"]) {
    if (spawnSync(shell, ["-c", "true"]).status !== 0) continue;
    assert.notEqual((await runHowToCheck(folder, shell)).status, 0);
    assert.equal(existsSync(join(folder, "owned")), false);
  }
});

/** Harms a folder with a proof of entry 6 and of growth from 4, and says what `check` and the shell find. */
function harmed(title: string, harm: (folder: string) => Promise<void>, fault: RegExp, shell = true): void {
  test(`refused: ${title}`, async (t) => {
    const folder = await proofs(t, await grown(t), [6], 4);
    await harm(folder);
    const faults = await faultsIn(folder);
    assert.ok(
      faults.some((text) => fault.test(text)),
      faults.join("\n"),
    );
    if (shell && hasOpenssl) assert.notEqual((await runHowToCheck(folder, "sh")).status, 0);
  });
}

async function replace(file: string, from: string | RegExp, to: string): Promise<void> {
  const text = await readFile(file, "utf8");
  assert.match(text, typeof from === "string" ? new RegExp(from) : from);
  await writeFile(file, text.replace(from, to));
}

harmed(
  "a line changed",
  (folder) => replace(join(folder, "entry-6.line"), "photographer", "Photographer"),
  /^entry-6\.json: the line is not entry 6 of the log that was signed/,
);
harmed(
  "a proof that gives itself out as that of another entry",
  async (folder) => {
    await cp(join(folder, "entry-6.json"), join(folder, "entry-7.json"));
    await cp(join(folder, "entry-6.line"), join(folder, "entry-7.line"));
  },
  /^entry-7\.json: it is about entry 6/,
);
harmed(
  "a hash of the path changed",
  (folder) => replace(join(folder, "entry-6.json"), /\[\n {2}"./, '[\n  "0'),
  /^entry-6\.json: the line is not entry 6/,
);
harmed(
  "a root of the earlier log that is another's",
  (folder) => replace(join(folder, "consistency-4-11.json"), /"fromRoot": "....../, '"fromRoot": "000000'),
  /^consistency-4-11\.json: the log of 4 entries with the root 000000.* is not the beginning/,
);
harmed(
  "a head whose size was changed",
  (folder) => replace(join(folder, "signed-head.txt"), /^size 11$/m, "size 12"),
  /^signed-head\.txt: its signature does not fit/,
);
harmed(
  "a proof cut short",
  (folder) => truncate(join(folder, "entry-6.json"), 100),
  /^entry-6\.json: is cut short or is not JSON/,
);
harmed(
  "a proof that is endless",
  (folder) => writeFile(join(folder, "entry-6.json"), "[".repeat(1_000_000)),
  /^entry-6\.json: is a link, no plain file, or too long to be a proof/,
);
harmed(
  "a proof of nested lists instead of hashes",
  (folder) => writeFile(join(folder, "entry-6.json"), "[".repeat(9_000) + "]".repeat(9_000)),
  /^entry-6\.json: is not a proof/,
);
harmed(
  "a line that is a link to a file elsewhere",
  async (folder) => {
    await rm(join(folder, "entry-6.line"));
    await symlink("/etc/hostname", join(folder, "entry-6.line"));
  },
  /^entry-6\.json: entry-6\.line is not there, is a link/,
);
harmed(
  "a line that is a pipe: checking does not wait for it",
  async (folder) => {
    await rm(join(folder, "entry-6.line"));
    execFileSync("mkfifo", [join(folder, "entry-6.line")]);
  },
  /^entry-6\.json: entry-6\.line is not there, is a link/,
  false,
);
harmed(
  "paths in a proof: nothing but this folder is read",
  async (folder) => {
    await replace(
      join(folder, "entry-6.json"),
      '"sequence": 6',
      '"sequence": "../../entry-6", "file": "/etc/passwd"',
    );
  },
  /^entry-6\.json: it is about entry \.\.\/\.\.\/entry-6, its name says 6/,
  false, // the shell reads the hashes alone, and those are right
);

test("a key that is trusted from elsewhere is the one that counts", async (t) => {
  const desk = await grown(t);
  const folder = await proofs(t, desk, [2]);
  const { keyId } = await desk.library.signHead();
  assert.deepEqual(await faultsIn(folder, keyId), []);
  const [fault] = await faultsIn(folder, "ab".repeat(32));
  assert.match(fault ?? "", /^signed-head\.txt: it is signed by .*, not by the key that you trust/);
});

test("what is no folder of proofs is said to be none", async (t) => {
  const folder = await temporaryFolder(t);
  await assert.rejects(faultsIn(folder), {
    code: "PROOFS_UNREADABLE",
    message: /signed-head\.txt is not there/,
  });
  await assert.rejects(faultsIn(join(folder, "none")), { code: "FILE_MISSING" });
  await cp(join(await proofs(t, await grown(t), [2]), "signed-head.txt"), join(folder, "signed-head.txt"));
  await assert.rejects(faultsIn(folder), { code: "PROOFS_UNREADABLE", message: /holds no proof/ });
  await rm(join(folder, "signed-head.txt"));
  await mkdir(join(folder, "signed-head.txt"));
  await assert.rejects(faultsIn(folder), { code: "PROOFS_UNREADABLE" });
});

test("proofs are made of what there is, for those who may read the log", async (t) => {
  const desk = await grown(t);
  const wanted = { entries: [], subjects: [], since: null };
  await assert.rejects(proofFiles(desk, MARA, { ...wanted, entries: [99] }), { code: "ENTRY_MISSING" });
  await assert.rejects(proofFiles(desk, MARA, { ...wanted, since: 0 }), { code: "ENTRY_MISSING" });
  await assert.rejects(proofFiles(desk, MARA, { ...wanted, subjects: ["patient/nobody"] }), {
    code: "ENTRY_MISSING",
  });
  await assert.rejects(proofFiles(desk, MARA, { ...wanted, subjects: ["%' or 1=1 --/x"] }), {
    code: "BAD_SUBJECT",
  });
  const viewer = { name: "vera", role: "viewer" } as const;
  await assert.rejects(proofFiles(desk, viewer, { ...wanted, entries: [1] }), { code: "ACT_REFUSED" });
});
