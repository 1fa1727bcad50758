import assert from "node:assert/strict";
import { mkdir, readdir, readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { type TestContext, test } from "node:test";
import {
  type Actor,
  changePractice,
  type Desk,
  earlierText,
  earlierVersions,
  practiceFile,
  startPractice,
  takeBackPracticeChange,
  verify,
} from "../../src/index.ts";
import { freshDesk, MARA } from "../support.ts";

const WOUND = "view-sets/wound.yaml";

async function ownPractice(t: TestContext): Promise<{ desk: Desk; folder: string }> {
  const desk = await freshDesk(t);
  const folder = join(desk.library.folder, "practice");
  await startPractice(folder);
  return { desk, folder };
}

const wound = async (folder: string) => (await practiceFile(folder, WOUND))!;

test("a change is written, told in the log, kept as it was before, and taken back", async (t) => {
  const { desk, folder } = await ownPractice(t);
  const before = await wound(folder);
  const text = before.text.replace("ratio: 1:10", "ratio: 1:12");
  const changed = await changePractice(desk, MARA, { folder, path: WOUND, before: before.sha256, text });
  assert.ok(changed.done);
  assert.equal((await wound(folder)).text, text);
  assert.equal(await earlierText(folder, WOUND, before.sha256), before.text);
  const [entry] = await earlierVersions(desk, MARA, WOUND);
  assert.deepEqual([entry?.before, entry?.after], [before.sha256, (await wound(folder)).sha256]);
  assert.ok((await takeBackPracticeChange(desk, MARA, { folder, ...changed.value })).done);
  assert.equal((await wound(folder)).text, before.text);
  assert.equal((await earlierVersions(desk, MARA, WOUND)).length, 2);
  assert.deepEqual(
    await readdir(join(folder, "view-sets")).then((names) => names.filter((n) => !n.endsWith(".yaml"))),
    [],
  );
  for await (const fault of verify(desk)) assert.fail(fault.fault);
});

test("of two who change the same file the second is told, and nothing of theirs is written", async (t) => {
  const { desk, folder } = await ownPractice(t);
  const { text, sha256 } = await wound(folder);
  const one = text.replace("ratio: 1:10", "ratio: 1:12");
  const two = text.replace("ratio: 1:10", "ratio: 1:15");
  assert.ok((await changePractice(desk, MARA, { folder, path: WOUND, before: sha256, text: one })).done);
  const second = await changePractice(desk, MARA, { folder, path: WOUND, before: sha256, text: two });
  assert.ok(!second.done);
  assert.match(second.reason, /changed by somebody else meanwhile/);
  assert.equal((await wound(folder)).text, one);
});

test("what does not hold is not written; the fault is named", async (t) => {
  const { desk, folder } = await ownPractice(t);
  const { text, sha256 } = await wound(folder);
  const wrong: [string | null, RegExp][] = [
    [text.replace("ratio: 1:10", "ratio: 1:1000"), /views\[1\]\.ratio: expected 1:200 to 5:1/],
    [text.replace("light: two-sides", "light: nothing"), /no light set-up nothing/],
    ["[".repeat(100_000), /one inside the other/],
    [`a: &a [x, x]\n${"b: &b [*a, *a]\n"}`, /is not known here|is missing/],
    ["", /the file is empty/],
  ];
  for (const [after, says] of wrong) {
    const answer = await changePractice(desk, MARA, { folder, path: WOUND, before: sha256, text: after });
    assert.ok(!answer.done);
    assert.match(answer.reason, says);
  }
  assert.equal((await wound(folder)).sha256, sha256);
  assert.deepEqual(await earlierVersions(desk, MARA, WOUND), []);
});

test("no path leads out of the practice", async (t) => {
  const { desk, folder } = await ownPractice(t);
  const paths = [
    "../x.yaml",
    "view-sets/../../x.yaml",
    "/etc/passwd",
    "view-sets/.yaml",
    "view-sets/a/b.yaml",
    "places.json",
    "view-sets/A.yaml",
  ];
  for (const path of paths) {
    const answer = await changePractice(desk, MARA, { folder, path, before: null, text: "x" });
    assert.ok(!answer.done, path);
    assert.equal(await practiceFile(folder, path), null);
  }
  assert.equal(await earlierText(folder, WOUND, "../../../x"), null);
});

test("others may not, and the starting practice is nobody's", async (t) => {
  const { desk, folder } = await ownPractice(t);
  const { text, sha256 } = await wound(folder);
  for (const role of ["requester", "viewer", "administrator", "auditor"] as const) {
    const actor: Actor = { name: "X", role };
    const answer = await changePractice(desk, actor, {
      folder,
      path: WOUND,
      before: sha256,
      text: `${text}#`,
    });
    assert.ok(!answer.done, role);
    assert.deepEqual(await earlierVersions(desk, actor, WOUND), []);
  }
  const starting = join(import.meta.dirname, "../../../practice/starting");
  const answer = await changePractice(desk, MARA, {
    folder: starting,
    path: WOUND,
    before: sha256,
    text: `${text}#`,
  });
  assert.ok(!answer.done && /make it your own/.test(answer.reason));
});

test("while a file is being written by another hand, nobody else writes it", async (t) => {
  const { desk, folder } = await ownPractice(t);
  const { text, sha256 } = await wound(folder);
  await mkdir(join(folder, "view-sets"), { recursive: true });
  await writeFile(join(folder, `${WOUND}.part`), "");
  await assert.rejects(
    changePractice(desk, MARA, { folder, path: WOUND, before: sha256, text: `${text}# x\n` }),
    { code: "PRACTICE_BUSY" },
  );
  assert.equal(await readFile(join(folder, WOUND), "utf8"), text);
});
