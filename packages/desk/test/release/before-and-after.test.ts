import assert from "node:assert/strict";
import { appendFile, rename, rm, symlink } from "node:fs/promises";
import { join } from "node:path";
import { test } from "node:test";
import { CONSENT_SCOPES } from "@samescale/practice";
import {
  type Actor,
  checkOneRelease,
  fetchReleased,
  listReleases,
  picturesForm,
  previewOutgoing,
  tryRelease,
  withdrawConsent,
  wouldBeRefused,
} from "../../src/index.ts";
import { MARA } from "../support.ts";
import { allow, confirm, photographed, release, treeOf, wantedOf } from "./photographed.ts";

const reasonOf = (outcome: { readonly done: boolean }) => {
  assert.equal(outcome.done, false);
  return (outcome as unknown as { reason: string }).reason;
};

test("what would be refused is what is refused, for every use, before and after consent and masks", async (t) => {
  const job = await photographed(t);
  const more = (scope: string) => ({
    ...(scope.startsWith("publication") && { publication: "Invented Annals" }),
  });
  const same = async () => {
    for (const scope of CONSENT_SCOPES.filter((each) => each !== "research" && each !== "evidence")) {
      const fields = { scope, ...more(scope) };
      const said = await wouldBeRefused(job.desk, MARA, wantedOf(job, fields), picturesForm);
      const outcome = await release(job, fields);
      assert.deepEqual(said, outcome.done ? [] : outcome.refusals, scope);
    }
  };
  await same();
  await allow(job, "requester");
  await allow(job, "teaching");
  await same();
  for (const frameId of job.frames) assert.ok((await confirm(job, frameId)).done);
  await same();
  const other = await wouldBeRefused(job.desk, MARA, wantedOf(job, { scope: "evidence" }), picturesForm);
  assert.ok(other.length > 0);
});

test("a trial makes the same files under other names, and leaves nothing behind", async (t) => {
  const job = await photographed(t);
  await allow(job, "requester");
  const into = { pool: job.pool, form: picturesForm, releasedFolder: job.released };
  const steps: string[] = [];
  const tried = await tryRelease(job.desk, MARA, wantedOf(job), {
    ...into,
    step: (done, of) => steps.push(`${done}/${of}`),
  });
  assert.ok(tried.done, JSON.stringify(tried));
  assert.deepEqual(steps, ["1/2", "2/2"]);
  assert.deepEqual([...(await treeOf(job.released)).keys()], []);
  assert.deepEqual(await listReleases(job.desk, MARA), { releases: [], of: 0 });
  const left = await release(job);
  assert.ok(left.done);
  const pictures = (files: readonly { name: string; bytes: number; sha256: string }[]) =>
    files.filter(({ name }) => name.endsWith(".jpg")).map(({ bytes, sha256 }) => ({ bytes, sha256 }));
  assert.deepEqual(pictures(tried.value.files), pictures(left.value.receipt.files));
  assert.deepEqual(tried.value.rules, left.value.receipt.rules);
  const refused = await tryRelease(job.desk, MARA, wantedOf(job, { scope: "teaching" }), into);
  assert.match(reasonOf(refused), /confirmed/);
});

test("fetched again: the very files, as long as consent holds, nobody else's, and it is in the log", async (t) => {
  const job = await photographed(t);
  const given = await allow(job, "requester");
  const left = await release(job);
  assert.ok(left.done);
  const { id, mark, folder, receipt } = left.value;
  const fetch = (actor: Actor = MARA, name: string | null = null) =>
    fetchReleased(job.desk, actor, job.released, id, name);

  const all = await fetch();
  assert.ok(all.done, JSON.stringify(all));
  assert.equal(all.value.files.length, 4);
  const one = await fetch(MARA, `${mark}-001.jpg`);
  assert.ok(one.done);
  const bytes: Uint8Array[] = [];
  for await (const piece of one.value.files[0]!.open()) bytes.push(piece);
  assert.deepEqual(Buffer.concat(bytes), (await treeOf(job.released)).get(`${folder}/${mark}-001.jpg`));
  for (const name of ["../library/x", `../${folder}/${mark}-001.jpg`, "receipt.json", ""])
    assert.match(reasonOf(await fetch(MARA, name)), /no file of that name/, name);
  const acts = await job.desk.library.read
    .selectFrom("act")
    .select("act")
    .where("act", "=", "release.fetch")
    .execute();
  assert.equal(acts.length, 2);

  for (const role of ["viewer", "auditor", "administrator"] as const)
    assert.match(reasonOf(await fetch({ name: "Eve", role })), /not for the role/);
  assert.match(reasonOf(await fetch({ name: "Eve", role: "requester", personId: "nobody" })), /no release/);

  const path = join(job.released, folder, `${mark}-002.jpg`);
  await appendFile(path, "x");
  assert.match(reasonOf(await fetch()), /is not what left any more/);
  assert.match((await checkOneRelease(job.desk, MARA, job.released, id))!.faults[0]!.fault, /has changed/);
  await rm(path);
  assert.match(reasonOf(await fetch()), /is missing/);
  await symlink(join(job.released, folder, `${mark}-001.jpg`), path);
  assert.match(reasonOf(await fetch()), /is missing/);
  await rename(join(job.released, folder), join(job.released, "elsewhere"));
  assert.match(reasonOf(await fetch()), /does not lie/);
  assert.match((await checkOneRelease(job.desk, MARA, job.released, id))!.faults[0]!.fault, /does not lie/);
  assert.equal(await checkOneRelease(job.desk, { name: "V", role: "viewer" }, job.released, id), null);

  assert.ok((await withdrawConsent(job.desk, MARA, { consentId: given.id, by: "the patient" })).done);
  assert.match(reasonOf(await fetch()), /to be given back/);
  assert.equal(receipt.files.length, 2);
});

test("a recipient with wildcards is found by them as letters or not at all, and lists tell nobody of others' requests", async (t) => {
  const job = await photographed(t);
  await allow(job, "requester");
  assert.ok((await release(job, { to: "Dr 100%_Example \\ <b>" })).done);
  const found = async (words: string) => (await listReleases(job.desk, MARA, { words })).of;
  assert.deepEqual(await Promise.all(["100%", "EXAMPLE", "nobody", "% zzz"].map(found)), [1, 1, 0, 0]);
  assert.equal((await listReleases(job.desk, MARA, { which: "recalled" })).of, 0);
  assert.equal((await listReleases(job.desk, { name: "R", role: "requester", personId: "x" })).of, 0);
  assert.equal((await listReleases(job.desk, { name: "A", role: "administrator" })).of, 0);
});

test("a picture is shown as it would leave, with what is beside its pixels before and after", async (t) => {
  const job = await photographed(t);
  const [frameId] = job.frames as [string];
  const areas = [
    {
      kind: "mark" as const,
      polygon: [
        [0, 0],
        [120, 0],
        [120, 160],
        [0, 160],
      ] as const,
    },
  ];
  const teaching = await previewOutgoing(job.desk, MARA, job.pool, { frameId, scope: "teaching", areas });
  assert.ok(teaching.done, JSON.stringify(teaching));
  assert.ok(teaching.value.masked > 0.49, `${teaching.value.masked}`);
  assert.deepEqual(
    teaching.value.after.map(({ group }) => group),
    ["colour"],
  );
  const care = await previewOutgoing(job.desk, MARA, job.pool, { frameId, scope: "requester", areas });
  assert.ok(care.done);
  assert.equal(care.value.masked, 0, "for care nothing is masked");
  const written = care.value.after.find(({ group }) => group === "camera")?.entries.map(({ value }) => value);
  assert.ok(written?.includes("Invented"));
  const { jpeg: _, ...shown } = care.value;
  assert.ok(JSON.stringify(shown).length < 100_000);
  for (const role of ["viewer", "auditor", "requester"] as const) {
    const no = await previewOutgoing(job.desk, { name: "E", role }, job.pool, {
      frameId,
      scope: "teaching",
      areas,
    });
    assert.match(reasonOf(no), /for photographers/);
  }
});
