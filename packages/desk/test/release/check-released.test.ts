import assert from "node:assert/strict";
import { mkdir, rm, symlink, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { test } from "node:test";
import { checkReleased, withdrawConsent } from "../../src/index.ts";
import { MARA } from "../support.ts";
import { allow, photographed, release, treeOf } from "./photographed.ts";

test("checking a released folder finds every change, and what was recalled or has expired", async (t) => {
  const job = await photographed(t, 2);
  const { id: consentId } = await allow(job, "requester");
  const outcome = await release(job, { expiresOn: "2026-04-01", folder: "to-check" });
  assert.ok(outcome.done);
  const { mark } = outcome.value;
  const folder = join(job.released, "to-check");
  const faults = async (desk: typeof job.desk | null = job.desk) =>
    (await checkReleased(folder, desk)).faults.map(({ file, fault }) => `${file} ${fault}`).join("\n");
  assert.equal(await faults(), "");
  await writeFile(join(folder, "extra.txt"), "x");
  await symlink("/etc/passwd", join(folder, "link.txt"));
  assert.match(await faults(), /extra\.txt stands on no receipt\nlink\.txt stands on no receipt/);
  await rm(join(folder, "extra.txt"));
  await rm(join(folder, "link.txt"));
  const path = join(folder, `${mark}-001.jpg`);
  const bytes = (await treeOf(folder)).get(`${mark}-001.jpg`)!;
  bytes[200]! ^= 1;
  await writeFile(path, bytes);
  await rm(join(folder, `${mark}-002.jpg`));
  assert.match(await faults(null), /-001\.jpg has changed[\s\S]*-002\.jpg is missing/);
  bytes[200]! ^= 1;
  await writeFile(path, bytes);
  const receiptPath = join(folder, `receipt-${mark}.json`);
  const receipt = (await treeOf(folder)).get(`receipt-${mark}.json`)!.toString();
  await writeFile(receiptPath, receipt.replace("Dr Example", "Dr Other"));
  assert.match(await faults(), /is not the receipt that the custody log tells of/);
  await writeFile(receiptPath, receipt.replace(`${mark}-001.jpg`, "../../../etc/passwd"));
  assert.match(await faults(), /is no receipt that can be read/);
  await writeFile(receiptPath, receipt);
  await withdrawConsent(job.desk, MARA, { consentId, by: "the patient" });
  job.set("2026-04-02T08:00:00.000Z");
  assert.match(
    await faults(),
    /is to be given back: Consent for the requester was withdrawn[\s\S]*its last day of use was 2026-04-01/,
  );
});

test("a folder of other things is said to hold no receipt, and is not listed", async (t) => {
  const job = await photographed(t, 1);
  const folder = join(job.released, "other");
  await mkdir(folder, { recursive: true });
  for (const name of ["one.txt", "two.txt"]) await writeFile(join(folder, name), "x");
  const { faults } = await checkReleased(folder, job.desk);
  assert.deepEqual(faults, [{ file: ".", fault: "holds no receipt" }]);
});
