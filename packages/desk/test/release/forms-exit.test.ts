import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { join } from "node:path";
import { test } from "node:test";
import {
  contactSheetForm,
  dicomForm,
  evidenceForm,
  fhirForm,
  tableForm,
  trueSizeForm,
} from "../../src/index.ts";
import { CHECK_THIS } from "../../src/release/forms/evidence/check-this.ts";
import { faultsOf } from "../support.ts";
import { allow, photographed, release, sha256Of, treeOf } from "./photographed.ts";

const has = (program: string) => spawnSync(program, ["--version"]).error === undefined;

test("every form leaves by the one exit: under its folder, with a receipt, as far as consent reaches and no further", async (t) => {
  const job = await photographed(t);
  await allow(job, "requester");
  for (const [form, folder, endings] of [
    [dicomForm, "dicom", [".dcm", ".dcm"]],
    [fhirForm, "fhir", [".jpg", ".jpg", "-bundle.json"]],
    [contactSheetForm, "sheet", ["-contact-sheet.pdf"]],
    [tableForm, "table", ["-frames.csv", "-frames.jsonl"]],
  ] as const) {
    const refused = await release(job, { scope: "health-record", folder }, form);
    assert.equal(refused.done, false, form.name);
    const outcome = await release(job, { folder }, form);
    assert.ok(outcome.done, JSON.stringify(outcome));
    const names = outcome.value.receipt.files.map(({ name }) => name);
    assert.equal(names.length, endings.length, names.join());
    for (const [i, ending] of endings.entries()) assert.ok(names[i]!.endsWith(ending), names.join());
    const files = await treeOf(join(job.released, folder));
    for (const { name, sha256 } of outcome.value.receipt.files)
      assert.equal(sha256Of(files.get(name)!), sha256);
  }
  // No scale was read in these frames: the exit tells why each cannot be printed.
  const unscaled = await release(job, { folder: "true-size" }, trueSizeForm);
  assert.match((unscaled as { reason: string }).reason, /cannot be printed at true size: no scale was read/);
  assert.deepEqual(await faultsOf(job.desk), []);
});

test("a DICOM object that left holds the camera's coding and passes dciodvfy", {
  skip: has("dciodvfy") ? false : "dciodvfy is not on this machine (Debian package dicom3tools)",
}, async (t) => {
  const job = await photographed(t, 1);
  await allow(job, "requester");
  const outcome = await release(job, { folder: "dicom" }, dicomForm);
  assert.ok(outcome.done);
  const [file] = outcome.value.receipt.files;
  const { stdout, stderr } = spawnSync("dciodvfy", [join(job.released, "dicom", file!.name)], {
    encoding: "utf8",
  });
  assert.doesNotMatch(stdout + stderr, /Error/, stdout + stderr);
  const bytes = (await treeOf(join(job.released, "dicom"))).get(file!.name)!;
  assert.ok(bytes.includes("ORIGINAL\\PRIMARY"));
  // The compressed data of the camera's file, from its first scan on.
  const { sha256 } = await job.desk.library.read
    .selectFrom("file")
    .select("sha256")
    .executeTakeFirstOrThrow();
  const parts: Uint8Array[] = [];
  for await (const part of job.desk.library.originals.open(sha256)) parts.push(part);
  const original = Buffer.concat(parts);
  assert.ok(bytes.includes(original.subarray(original.indexOf(Buffer.from([0xff, 0xda])))));
});

test("evidence that left is checked in its folder by the page's own lines, receipt beside it", {
  skip: has("openssl") && has("sha256sum") ? false : "sha256sum and openssl are not on this machine",
}, async (t) => {
  const job = await photographed(t);
  await allow(job, "evidence", { capacity: "legal-basis" });
  const outcome = await release(job, { scope: "evidence", folder: "evidence" }, evidenceForm);
  assert.ok(outcome.done, JSON.stringify(outcome));
  const bag = join(job.released, "evidence");
  const lines = CHECK_THIS.split("\n").filter((line) => line.startsWith("    "));
  const { stdout, stderr } = spawnSync("sh", ["-c", lines.map((line) => line.slice(4)).join("\n")], {
    cwd: bag,
    encoding: "utf8",
  });
  assert.doesNotMatch(stdout + stderr, /FAULT/, stdout + stderr);
  assert.match(stdout, /lines compared/);
  const files = await treeOf(bag);
  const originals = [...files.keys()].filter((name) => name.startsWith("data/originals/"));
  assert.deepEqual(originals, ["data/originals/0001-IMG_1.JPG", "data/originals/0002-IMG_2.JPG"]);
  assert.ok([...files.keys()].some((name) => name.startsWith("data/rows/consent-")));
  assert.deepEqual(await faultsOf(job.desk), []);
});
