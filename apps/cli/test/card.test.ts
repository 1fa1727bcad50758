import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { after, before, test } from "node:test";
import { type Actor, addPatient, addRequest, doneOrThrow, openDesk } from "@samescale/desk";

const MAIN = resolve(import.meta.dirname, "../src/main.ts");
const ACTOR: Actor = { name: "mara", role: "photographer" };
const folder = mkdtempSync(join(tmpdir(), "samescale-card-"));
after(() => rmSync(folder, { recursive: true }));

const run = (...args: string[]) =>
  spawnSync(
    process.execPath,
    ["--disable-warning=ExperimentalWarning", MAIN, ...args, "--library", "library"],
    {
      encoding: "utf8",
      cwd: folder,
    },
  );

before(async () => {
  const desk = await openDesk(join(folder, "library"));
  const patient = { number: "FI204417", authority: "Invented", name: "Ada Example", birthDate: null };
  const { id } = doneOrThrow(await addPatient(desk, ACTOR, patient));
  doneOrThrow(await addRequest(desk, ACTOR, { code: "R-17", patientId: id, kind: "clinical" }));
  await desk.close();
});

test("a request without a plan has no card, one with a plan has it on paper and on a phone", () => {
  const unplanned = run("card", "R-17", "--pdf", "card.pdf");
  assert.equal(unplanned.status, 1);
  assert.match(unplanned.stderr, /R-17 has no plan.*\n.*samescale plan SET --request R-17/);
  assert.deepEqual(readdirSync(folder), ["library"]);
  assert.equal(run("plan", "wound", "--request", "R-17", "--side", "left").status, 0);
  const { status, stdout, stderr } = run(
    "card",
    "R-17",
    "--pdf",
    "card.pdf",
    "--page",
    "card.html",
    "--json",
  );
  assert.equal(status, 0, stderr);
  assert.deepEqual(JSON.parse(stdout), {
    request: "R-17",
    code: "SR1:R-17:FI204417",
    pdf: "card.pdf",
    page: "card.html",
    viewSet: "Wound, series",
    views: 5,
    refused: [],
    withName: false,
  });
  assert.equal(readFileSync(join(folder, "card.pdf")).subarray(0, 5).toString(), "%PDF-");
  assert.match(readFileSync(join(folder, "card.html"), "utf8"), /^<!doctype html>/);
  assert.equal(statSync(join(folder, "card.html")).mode & 0o077, 0, "others can read the card");
});
