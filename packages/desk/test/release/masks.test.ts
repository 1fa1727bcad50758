import assert from "node:assert/strict";
import { test } from "node:test";
import {
  addResearchProject,
  confirmMask,
  doneOrThrow,
  MASK_QUESTIONS,
  type MaskAnswers,
  proposeMask,
} from "../../src/index.ts";
import { pseudonymOf } from "../../src/release/research-project.ts";
import { SCOPE_RULES, scopeTable } from "../../src/release/scope-rules.ts";
import { jobOf } from "../consent/support.ts";
import { faultsOf, MARA } from "../support.ts";
import { allow, confirm, NOTHING_THERE, photographed, release, treeOf } from "./photographed.ts";

const LEAD = { name: "dov", role: "lead" } as const;
const SQUARE = [
  [30, 50],
  [90, 50],
  [90, 110],
  [30, 110],
] as const;

test("every question and every proposal needs an answer; nothing to mask is one as well", async (t) => {
  const job = await photographed(t, 1);
  const frameId = job.frames[0]!;
  const { sha256: proposals, proposals: seen } = doneOrThrow(
    await proposeMask(job.desk, MARA, job.pool, frameId),
  );
  const proposed = seen.areas.map(() => "leave" as const);
  const good: MaskAnswers = { frameId, proposals, proposed, areas: [], answers: NOTHING_THERE };
  const reasonOf = async (fields: Partial<MaskAnswers>, actor: Parameters<typeof confirmMask>[1] = MARA) => {
    const outcome = await confirmMask(job.desk, actor, { ...good, ...fields });
    return outcome.done ? "done" : outcome.reason;
  };
  assert.match(await reasonOf({ answers: {} }), /face: not answered[\s\S]*screen: not answered/);
  const { tattoo: _, ...others } = NOTHING_THERE;
  assert.match(await reasonOf({ answers: others }), /^Is there a tattoo.*not answered\)$/);
  assert.match(
    await reasonOf({ answers: { ...NOTHING_THERE, tattoo: "masked" } }),
    /says that it is masked, and no area covers it/,
  );
  assert.match(
    await reasonOf({ areas: [{ kind: "tattoo", polygon: SQUARE }] }),
    /the answer says that it is not there/,
  );
  assert.match(await reasonOf({ answers: { ...NOTHING_THERE, eyes: "masked" } }), /Nobody asked for eyes/);
  assert.match(await reasonOf({ answers: JSON.parse('{"__proto__": "x"}') }), /not answered/);
  assert.match(await reasonOf({ proposed: [...proposed, "leave"] }), /proposed areas/);
  assert.match(await reasonOf({ areas: [{ kind: "nose", polygon: SQUARE }] }), /expected one of face/);
  for (const polygon of [
    [[1, 2]],
    [
      [NaN, 1],
      [2, 2],
      [3, 3],
    ],
    [
      [900, 900],
      [901, 901],
      [902, 900],
    ],
    "x",
  ]) {
    assert.match(
      await reasonOf({ areas: [{ kind: "other", polygon: polygon as never }] }),
      /points that lie in the picture/,
    );
  }
  assert.match(await reasonOf({ proposals: "0".repeat(64) }), /Look at the proposals/);
  assert.match(await reasonOf({ frameId: "nobody's" }), /There is no picture/);
  assert.match(await reasonOf({}, { name: "r", role: "requester" }), /not for the role/);
  assert.match(await reasonOf({}, { name: " ", role: "lead" }), /A person by name/);
  assert.equal(await reasonOf({}), "done");
  assert.deepEqual(await faultsOf(job.desk), []);
});

test("bars over eyes are refused with the reason: by what they are called, by their shape, against a face", async (t) => {
  const job = await photographed(t, 1);
  const frameId = job.frames[0]!;
  const bar = [
    [30, 60],
    [110, 60],
    [110, 75],
    [30, 75],
  ] as const;
  const face = [
    [20, 20],
    [120, 20],
    [120, 150],
    [20, 150],
  ] as const;
  const answers = { ...NOTHING_THERE, face: "masked" };
  const tried = async (areas: MaskAnswers["areas"], more: object = {}) => {
    const outcome = await confirm(job, frameId, { areas, answers, ...more });
    return outcome.done ? "done" : outcome.reason;
  };
  const why = /masking the eye region is inadequate protection of anonymity \(ICMJE\)/;
  assert.match(await tried([{ kind: "eyes", polygon: bar }]), why);
  assert.match(await tried([{ kind: "face", polygon: bar }]), /^This is a bar, not a face/);
  assert.equal(await tried([{ kind: "face", polygon: face }]), "done");
  // The whole face, and a bar besides: the face is covered.
  assert.equal(
    await tried([
      { kind: "face", polygon: face },
      { kind: "other", polygon: bar },
    ]),
    "done",
  );
});

test("research: one code for each patient and project, days moved together, the key stays", async (t) => {
  const job = await photographed(t, 2);
  const { desk, frames } = job;
  await allow(job, "research");
  await desk.library.write("x", async ({ update }) => {
    await update("frame", frames[0]!, { taken_at: "2026-03-15T09:00:00" });
    await update("frame", frames[1]!, { taken_at: "2026-03-29T10:30:00" });
    return { value: null, deed: { act: "test.times", subject: "frame/x" } };
  });
  for (const frameId of frames) assert.ok((await confirm(job, frameId)).done);
  assert.equal((await addResearchProject(desk, MARA, { name: "Healing" })).done, false);
  doneOrThrow(await addResearchProject(desk, LEAD, { name: "Healing" }));
  assert.match(JSON.stringify(await addResearchProject(desk, LEAD, { name: "Healing" })), /already/);
  doneOrThrow(await addResearchProject(desk, LEAD, { name: "Other" }));
  const days: (string | null)[][] = [];
  const codes: (string | null)[] = [];
  const form = {
    name: "test",
    scopes: ["research"] as const,
    async *files({
      frames: shown,
      pseudonym,
      patient,
      request,
      evidence,
    }: Parameters<NonNullable<Parameters<typeof release>[2]>["files"]>[0]) {
      days.push(shown.map(({ day }) => day));
      codes.push(pseudonym);
      assert.deepEqual(
        [patient, request.id, request.code, request.title, evidence],
        [null, null, null, null, null],
      );
      assert.deepEqual(
        shown.map(({ takenAt, originalName, originals }) => [takenAt, originalName, originals.length]),
        [
          [null, null, 0],
          [null, null, 0],
        ],
      );
      assert.equal(await shown[0]!.jpegAsCoded(), null);
      yield { name: "codes.txt", bytes: Buffer.from(`${pseudonym}`), frameId: null, original: null };
    },
  };
  for (const project of ["Healing", "Healing", "Other"]) {
    const outcome = await release(job, { scope: "research", project }, form);
    assert.ok(outcome.done, JSON.stringify(outcome));
  }
  assert.deepEqual(days[0], days[1]);
  assert.equal(codes[0], codes[1]);
  assert.notEqual(codes[0], codes[2]);
  const gap = (Date.parse(days[0]![1]!) - Date.parse(days[0]![0]!)) / 86_400_000;
  assert.equal(gap, 14);
  assert.ok(days[0]![0]! < "2026-03-15");
  const keys = await desk.library.read.selectFrom("research_project").select("key").execute();
  const left = Buffer.concat([...(await treeOf(job.released)).values()]).toString("latin1");
  assert.ok(keys.every(({ key }) => key.length === 64 && !left.includes(key)));
  assert.deepEqual(await faultsOf(desk), []);
});

test("codes of a project: different for each patient, the same however often they are made", async () => {
  const project = { id: "1", name: "x", key: "ab".repeat(32) };
  const codes = Array.from({ length: 5000 }, (_, i) => pseudonymOf(project, `patient-${i}`));
  assert.equal(new Set(codes.map(({ code }) => code)).size, 5000);
  assert.ok(
    codes.every(
      ({ code, daysEarlier }) =>
        /^P-[2-9A-HJ-NP-Z]{10}$/.test(code) && daysEarlier >= 1 && daysEarlier <= 365,
    ),
  );
  assert.deepEqual(pseudonymOf(project, "patient-7"), codes[7]);
});

test("the table of docs/release.md is the one that is applied", async () => {
  const { readFile } = await import("node:fs/promises");
  const page = await readFile(new URL("../../../../docs/release.md", import.meta.url), "utf8");
  assert.ok(page.includes(scopeTable()), `docs/release.md should hold:\n${scopeTable()}`);
  const strict = Object.values(SCOPE_RULES).filter(({ identity }) => identity !== "kept");
  assert.ok(
    strict.every(
      (rules) =>
        rules.masksConfirmed &&
        rules.metadata === "none" &&
        rules.times !== "kept" &&
        !rules.sidecars &&
        rules.fileNames === "counter",
    ),
  );
  for (const question of Object.values(MASK_QUESTIONS)) assert.ok(page.includes(question), question);
});

test("a frame of somebody else's request cannot be released with this one's consent", async (t) => {
  const job = await photographed(t, 1);
  await allow(job, "requester");
  const other = await jobOf(job.desk, { number: "HN20002", code: "R-2", pictures: 1 });
  const outcome = await release(job, { frames: [...job.frames, ...other.frames] });
  assert.ok(!outcome.done && /This is no picture of the request/.test(outcome.reason));
});
