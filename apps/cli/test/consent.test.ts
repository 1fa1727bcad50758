import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { after, before, test } from "node:test";
import { addPatient, addRequest, doneOrThrow, openDesk } from "@samescale/desk";

const MAIN = resolve(import.meta.dirname, "../src/main.ts");
const folder = mkdtempSync(join(tmpdir(), "samescale-consent-"));
after(() => rmSync(folder, { recursive: true }));
before(async () => {
  const desk = await openDesk(join(folder, "library"));
  const mara = { name: "mara", role: "photographer" } as const;
  const patient = { number: "HN10001", authority: "Invented", name: "Ada Example", birthDate: "2012-05-04" };
  const { id: patientId } = doneOrThrow(await addPatient(desk, mara, patient));
  doneOrThrow(await addRequest(desk, mara, { code: "R-1", patientId, kind: "clinical" }));
  await desk.close();
});

const run = (...args: readonly string[]) => {
  const all = ["--disable-warning=ExperimentalWarning", MAIN, "consent", ...args, "--library", "library"];
  return spawnSync(process.execPath, all, { encoding: "utf8", cwd: folder });
};

test("given by a mother, shown, withdrawn, and what has to be done", () => {
  const mother = ["--capacity", "parental-responsibility", "--by", "Ann Example", "--relation", "mother"];
  const given = run("give", "teaching", "--request", "R-1", ...mother, "--child", "agrees", "--json");
  assert.equal(given.status, 0, given.stderr);
  const { id, until } = JSON.parse(given.stdout) as { id: string; until: string };
  assert.equal(until, "2030-05-03");

  const shown = run("show", "R-1").stdout;
  assert.match(shown, /^ {2}yes {2}teaching$/m);
  assert.match(shown, /^ {2}no {3}research: No consent was given for research$/m);
  assert.match(shown, /by Ann Example \(parental responsibility; mother; the child agrees\), taken by /);
  assert.match(
    run("tasks", "--on", "2030-05-04").stdout,
    /^2030-05-04 {2}HN10001, R-1: Ask the patient about teaching/,
  );

  const withdrawn = run("withdraw", id, "--by", "Ann Example");
  assert.equal(
    withdrawn.stdout,
    "Withdrawn: teaching. Nothing leaves under it from now on.\nNothing that this concerns has left the department.\n",
  );
});

test("what is typed wrongly is said, and nothing is written", () => {
  const { status, stderr } = run("give", "teaching");
  assert.equal(status, 2, stderr);
  assert.match(stderr, /Add --request CODE or --patient NUMBER/);
});
