import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { existsSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { after, before, test } from "node:test";
import { type Actor, addPatient, addRequest, doneOrThrow, giveConsent, openDesk } from "@samescale/desk";
import { CONSENT_SCOPES } from "@samescale/practice";
import sharp from "sharp";

const MAIN = resolve(import.meta.dirname, "../src/main.ts");
const folder = mkdtempSync(join(tmpdir(), "samescale-release-"));
after(() => rmSync(folder, { recursive: true }));
const MARA: Actor = { name: "mara", role: "photographer" };

before(async () => {
  const desk = await openDesk(join(folder, "library"));
  const patient = { number: "HN10001", authority: "H", name: "Ada Example", birthDate: null };
  const { id: patientId } = doneOrThrow(await addPatient(desk, MARA, patient));
  const { id: requestId } = doneOrThrow(
    await addRequest(desk, MARA, { code: "R-1", patientId, kind: "clinical" }),
  );
  const { newId, originals } = desk.library;
  const bytes = await sharp({ create: { width: 120, height: 80, channels: 3, background: "#b8806a" } })
    .jpeg()
    .toBuffer();
  const put = await originals.put({
    name: "A1.JPG",
    async *read() {
      yield bytes;
    },
  });
  assert.ok(put.state === "stored");
  await desk.library.write("photographer:mara", async ({ insert }) => {
    const [intake, frame] = [newId(), newId()];
    const at = "2026-03-15T09:00:00.000Z";
    await insert("intake", { id: intake, card_path: "/card", begun_at: at, finished_at: at });
    await insert("frame", {
      id: frame,
      intake_id: intake,
      folder: "DCIM",
      name: "A1",
      position: 1,
      kind: "picture",
      taken_at: "2026-03-15T10:00:00",
      clock: "plausible",
      request_id: requestId,
      placed_by: "person",
      placing: "made up",
      flags: "[]",
    });
    await insert("file", {
      sha256: put.sha256,
      bytes: put.bytes,
      format: "jpeg",
      name: "A1.JPG",
      frame_id: frame,
      stored_at: at,
    });
    return { value: null, deed: { act: "test.picture", subject: `frame/${frame}` } };
  });
  const wordings = CONSENT_SCOPES.map((scope) => ({ scope, version: "1", text: scope }));
  const rules = { ageOfMajority: 18, leapDayBirthday: "03-01", tellDaysBefore: 30, wordings } as const;
  const by = { capacity: "patient" } as const;
  doneOrThrow(
    await giveConsent(desk, MARA, { of: { requestId }, scope: "teaching", by, rules, how: "written" }),
  );
  await desk.close();
});

function run(args: readonly string[], input = "") {
  const all = ["--disable-warning=ExperimentalWarning", MAIN, ...args];
  return spawnSync(process.execPath, all, { encoding: "utf8", cwd: folder, input });
}

const OUT = [
  "release",
  "out",
  "R-1",
  "--scope",
  "teaching",
  "--to",
  "Lecture 3",
  "--purpose",
  "how wounds heal",
];

test("a picture on its way out: refused, looked at, confirmed, released, checked, listed", () => {
  const refused = run(OUT);
  assert.equal(refused.status, 1, refused.stderr);
  assert.match(refused.stdout, /^Nothing has left:\n {2}A1: Nobody has confirmed yet what must not be seen/);
  assert.equal(existsSync(join(folder, "released")), false);
  assert.match(run(["mask", "list", "R-1"]).stdout, /^A1 {2}2026-03-15T10:00:00 {2}nobody has looked at it/);
  const looked = run(["mask", "look", "R-1", "--json"]);
  assert.equal(looked.status, 0, looked.stderr);
  const sheet = JSON.parse(looked.stdout);
  const unanswered = run(["mask", "confirm", "R-1", "--answers", "-"], looked.stdout);
  assert.equal(unanswered.status, 1);
  assert.match(unanswered.stderr, /Is a face to be seen/);
  const eyes = {
    kind: "eyes",
    polygon: [
      [10, 10],
      [60, 10],
      [60, 20],
    ],
  };
  for (const question of sheet.questions) question.answer = "not-there";
  const barred = run(
    ["mask", "confirm", "R-1", "--answers", "-"],
    JSON.stringify({ ...sheet, areas: [eyes] }),
  );
  assert.match(barred.stderr, /masking the eye region is inadequate protection/);
  writeFileSync(join(folder, "answers.ndjson"), `${JSON.stringify(sheet)}\n`);
  const confirmed = run(["mask", "confirm", "R-1", "--answers", "answers.ndjson"]);
  assert.match(confirmed.stdout, /^A1\.JPG: nothing to mask, confirmed by /, confirmed.stderr);
  const left = run([...OUT, "--folder", "lecture", "--until", "2099-01-01"]);
  assert.equal(left.status, 0, left.stderr + left.stdout);
  assert.match(
    left.stdout,
    /^Released 1 file for 1 picture: [\s\S]*Use ends 2099-01-01\. Give receipt-\w+\.txt along\.\n/,
  );
  assert.equal(readdirSync(join(folder, "released", "lecture")).length, 3);
  assert.equal(
    run(["release", "check", "released/lecture"]).stdout,
    "Everything as it left: 1 releases, 1 files.\n",
  );
  writeFileSync(join(folder, "released", "lecture", "more.jpg"), "x");
  const changed = run(["release", "check", "released/lecture", "--without-library"]);
  assert.deepEqual([changed.status, changed.stdout], [1, "more.jpg: stands on no receipt\n"]);
  const listed = run(["release", "list", "--request", "R-1"]).stdout;
  assert.match(
    listed,
    /left: lecture, pictures to Lecture 3 for teaching: how wounds heal \(until 2099-01-01\)\n$/,
  );
});

test("what cannot be read or is nobody's is said", () => {
  assert.match(
    run(["mask", "confirm", "R-1", "--answers", "-"], "no JSON").stderr,
    /Line 1 of the answers is no sheet/,
  );
  assert.match(run(["mask", "look", "R-1", "--frames", "B7"]).stderr, /No picture of the request: "B7"/);
  assert.match(
    run(["release", "out", "R-9", "--scope", "teaching", "--to", "x", "--purpose", "y"]).stderr,
    /has no request "R-9"/,
  );
});
