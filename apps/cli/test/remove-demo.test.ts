import assert from "node:assert/strict";
import { existsSync } from "node:fs";
import { mkdir, mkdtemp, readdir, readFile, rm, symlink, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { type TestContext, test } from "node:test";
import { isDemonstration, prepareDemoFolder } from "../src/demo/demo-folder.ts";
import { finishRemoving, removeDemonstration } from "../src/demo/remove-demo.ts";

/** A folder as `samescale demo` leaves it, with something of somebody's beside it. */
async function demonstration(t: TestContext) {
  const around = await mkdtemp(join(tmpdir(), "samescale-remove-"));
  t.after(() => rm(around, { recursive: true, force: true }));
  const folder = await prepareDemoFolder(join(around, "demo"));
  for (const part of [folder.cards, folder.bedside, join(folder.library, "practice", "view-sets")])
    await mkdir(part, { recursive: true });
  await writeFile(join(folder.library, "samescale.db"), "rows");
  await writeFile(join(folder.library, "practice", "department.yaml"), "department: Mine\n");
  await writeFile(join(folder.cards, "a.jpg"), "picture");
  await writeFile(join(folder.root, "my-notes.txt"), "mine");
  await mkdir(`${folder.library}-dropped`);
  return { ...folder, around };
}

test("it is removed: an empty library is left, what others put there stays and is named", async (t) => {
  const { root, library } = await demonstration(t);
  const left = await removeDemonstration(library, { keepPractice: false });
  assert.deepEqual(left, ["my-notes.txt"]);
  assert.deepEqual(await readdir(root), ["library", "my-notes.txt", "second-copy"]);
  assert.deepEqual(await readdir(library), []);
  assert.equal(isDemonstration(library), false);
});

test("the practice is kept where somebody wants it", async (t) => {
  const { library } = await demonstration(t);
  await removeDemonstration(library, { keepPractice: true });
  assert.deepEqual(await readdir(library), ["practice"]);
  assert.equal(await readFile(join(library, "practice", "department.yaml"), "utf8"), "department: Mine\n");
});

test("never through a link: what it leads to stays", async (t) => {
  const { around, root, library, cards } = await demonstration(t);
  const precious = join(around, "precious");
  await mkdir(precious);
  await writeFile(join(precious, "patient.jpg"), "precious");
  await rm(cards, { recursive: true });
  await symlink(precious, cards);
  await symlink(precious, join(library, "originals"));
  await symlink(precious, join(root, "released", "elsewhere"));
  await removeDemonstration(library, { keepPractice: false });
  assert.equal(await readFile(join(precious, "patient.jpg"), "utf8"), "precious");
  assert.equal(existsSync(cards), false);
});

test("anything else than a demonstration is refused, and nothing of it is touched", async (t) => {
  const { around, root, library } = await demonstration(t);
  const refused = (folder: string, says: RegExp) =>
    assert.rejects(
      removeDemonstration(folder, { keepPractice: false }),
      (thrown: { code: string; message: string }) => {
        assert.equal(thrown.code, "DEMO_NOT_REMOVED");
        assert.match(thrown.message, says);
        return true;
      },
    );
  const real = join(around, "hospital", "library");
  await mkdir(real, { recursive: true });
  await refused(real, /does not bear the mark/);
  await refused(join(around, "nothing"), /not there/);
  await symlink(library, join(around, "link"));
  await refused(join(around, "link"), /a link/);
  const mark = "this-is-a-samescale-demonstration.txt";
  await writeFile(join(around, "hospital", mark), "somebody wrote something else\n");
  await refused(real, /does not bear the mark/);
  await rm(join(around, "hospital", mark));
  await symlink(join(root, mark), join(around, "hospital", mark));
  await refused(real, /does not bear the mark/);
  await mkdir(join(root, "other"));
  await refused(join(root, "other"), /where a demonstration puts it/);
  await writeFile(join(library, "places.json"), "{}");
  await refused(library, /lie elsewhere/);
  assert.equal(await readFile(join(library, "samescale.db"), "utf8"), "rows");
  assert.equal(existsSync(join(root, "removing.json")), false);
});

test("killed in the middle, the next start finishes it; where nothing was begun, nothing happens", async (t) => {
  const { root, library } = await demonstration(t);
  await finishRemoving(library);
  assert.ok(existsSync(join(library, "samescale.db")));
  // As a run leaves it that was killed after the practice was put aside and the library was gone.
  await writeFile(join(root, "removing.json"), JSON.stringify({ keepPractice: true }));
  await mkdir(join(root, "practice-kept"));
  await writeFile(join(root, "practice-kept", "department.yaml"), "department: Mine\n");
  await rm(library, { recursive: true });
  await finishRemoving(library);
  assert.deepEqual(await readdir(root), ["library", "my-notes.txt", "second-copy"]);
  assert.equal(await readFile(join(library, "practice", "department.yaml"), "utf8"), "department: Mine\n");
  await finishRemoving(library);
});
