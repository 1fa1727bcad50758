import assert from "node:assert/strict";
import { test } from "node:test";
import { CONSENT_SCOPES, isPublication } from "@samescale/practice";
import {
  answerRecall,
  doneOrThrow,
  logLines,
  recallsOf,
  refuseConsent,
  withdrawConsent,
} from "../../src/index.ts";
import { faultsOf, MARA } from "../support.ts";
import { answerOf, clockedDesk, give, jobOf, reasonOf, releaseRow } from "./support.ts";

const GIVEN = "2026-03-10T10:00:00Z";

test("withdrawal lists what went out, to whom and when, and marks it", async (t) => {
  const { desk } = await clockedDesk(t);
  const { requestId, patientId, frames } = await jobOf(desk);
  const other = await jobOf(desk, { number: "HN20002", code: "R-2" });
  const yes = await give(desk, { of: { requestId }, givenAt: GIVEN });
  const made = { requestId, patientId, scope: "teaching", frames };
  const talk = await releaseRow(desk, { ...made, to: "Dr Example", leftAt: "2026-03-11T10:00:00.000Z" });
  await releaseRow(desk, { ...made, scope: "health-record" });
  await releaseRow(desk, { ...other, scope: "teaching" });
  const withdrawn = doneOrThrow(
    await withdrawConsent(desk, MARA, { consentId: yes.id, by: "Patient HN10001" }),
  );
  assert.deepEqual(
    withdrawn.wentOut.map(({ says, ...rest }) => [rest, /take it out of their teaching/.test(says)]),
    [
      [
        {
          releaseId: talk,
          to: "Dr Example",
          scope: "teaching",
          publication: null,
          files: ["p-1.jpg", "p-2.jpg", "p-3.jpg"],
          leftAt: "2026-03-11T10:00:00.000Z",
          askBack: true,
        },
        true,
      ],
    ],
  );
  const open = doneOrThrow(await recallsOf(desk, MARA, "open"));
  assert.deepEqual(
    open.map(({ releaseId, because, answered }) => ({ releaseId, because, answered })),
    [{ releaseId: talk, because: "Consent for teaching was withdrawn on 2026-03-15", answered: null }],
  );
  doneOrThrow(await answerRecall(desk, MARA, { releaseId: talk, says: "deleted, the slide is out" }));
  assert.deepEqual(doneOrThrow(await recallsOf(desk, MARA, "open")), []);
  const [answered] = doneOrThrow(await recallsOf(desk, MARA, "all"));
  assert.deepEqual(answered?.answered, {
    at: "2026-03-15T12:00:00.000Z",
    says: "deleted, the slide is out",
  });
  const twice = await answerRecall(desk, MARA, { releaseId: talk, says: "again" });
  assert.match(reasonOf(twice), /answered already/);
  const lines: string[] = [];
  for await (const line of logLines(desk)) lines.push(line);
  const withdrawal = lines.find((line) => line.includes('"act":"consent.withdraw"'));
  assert.match(withdrawal ?? "", new RegExp(`"releases":\\["${talk}"\\]`));
  assert.deepEqual(await faultsOf(desk), []);
});

test("each scope says what can be had back; the copy in the health record is not asked back", async (t) => {
  const { desk } = await clockedDesk(t);
  const { requestId, patientId, frames } = await jobOf(desk);
  const asked: Record<string, [boolean, string]> = {};
  for (const scope of CONSENT_SCOPES) {
    const publication = isPublication(scope) ? { publication: "A journal" } : {};
    const { id } = await give(desk, { of: { requestId }, scope, givenAt: GIVEN, ...publication });
    await releaseRow(desk, { requestId, patientId, scope, frames, ...publication });
    const { wentOut } = doneOrThrow(await withdrawConsent(desk, MARA, { consentId: id, by: "the patient" }));
    asked[scope] = [wentOut[0]!.askBack, wentOut[0]!.says];
  }
  const recalls = doneOrThrow(await recallsOf(desk, MARA, "open"));
  assert.deepEqual(
    recalls.map(({ scope }) => scope).sort(),
    CONSENT_SCOPES.filter((scope) => scope !== "health-record").sort(),
  );
  assert.match(asked["health-record"]![1], /health record is normally kept/);
  assert.match(asked["publication-print"]![1], /Print cannot be called back/);
  assert.match(asked["publication-open-web"]![1], /Copies that others have made cannot be called back/);
});

test("only what is not covered any more is listed: other pictures, other publications, another yes", async (t) => {
  const { desk } = await clockedDesk(t);
  const { requestId, patientId, frames } = await jobOf(desk);
  const [one, two] = [frames[0]!, frames[1]!];
  const some = await give(desk, { of: { requestId }, frames: [one, two], givenAt: GIVEN });
  const third = await give(desk, { of: { requestId }, frames: [frames[2]!], givenAt: GIVEN });
  const made = { requestId, patientId, scope: "teaching" };
  await releaseRow(desk, { ...made, frames: [frames[2]!], to: "third only" });
  await releaseRow(desk, { ...made, frames, to: "all three" });
  const { wentOut } = doneOrThrow(await withdrawConsent(desk, MARA, { consentId: some.id, by: "she" }));
  assert.deepEqual(
    wentOut.map(({ to, files }) => ({ to, files })),
    [{ to: "all three", files: ["p-1.jpg", "p-2.jpg"] }],
  );
  const refused = answerOf({ of: { requestId }, frames: [frames[2]!] });
  const no = doneOrThrow(await refuseConsent(desk, MARA, refused));
  assert.deepEqual(
    no.wentOut.map(({ to }) => to).sort(),
    ["all three", "third only"],
    "a no counts like a withdrawal",
  );
  assert.equal(reasonOf(await withdrawConsent(desk, MARA, { consentId: third.id, by: "she" })), "done");
});

test("what takes the place of a wider yes calls back only what it does not reach", async (t) => {
  const { desk } = await clockedDesk(t);
  const { requestId, patientId, frames } = await jobOf(desk);
  const wide = await give(desk, { of: { requestId }, givenAt: GIVEN });
  const made = { requestId, patientId, scope: "teaching" };
  await releaseRow(desk, { ...made, frames: [frames[0]!], to: "first" });
  await releaseRow(desk, { ...made, frames: [frames[1]!], to: "second" });
  const { wentOut } = await give(desk, { of: { requestId }, frames: [frames[0]!], insteadOf: wide.id });
  assert.deepEqual(
    wentOut.map(({ to }) => to),
    ["second"],
  );
});

test("a yes ends once; a no is not withdrawn; a clock that jumped back does not keep a withdrawal out", async (t) => {
  const { desk, set } = await clockedDesk(t);
  const { requestId } = await jobOf(desk);
  const yes = await give(desk, { of: { requestId } });
  set("2026-03-14T12:00:00.000Z");
  const withdraw = (fields: object = {}) =>
    withdrawConsent(desk, MARA, { consentId: yes.id, by: "the patient", ...fields });
  assert.match(reasonOf(await withdraw({ by: "\u0007" })), /plain text/);
  assert.match(reasonOf(await withdraw({ at: "2026-03-14T12:00:01Z" })), /future/);
  assert.match(reasonOf(await withdraw({ consentId: "x" })), /no consent x/);
  assert.equal(reasonOf(await withdraw()), "done");
  assert.match(reasonOf(await withdraw()), /was withdrawn on 2026-03-14/);
  const no = doneOrThrow(await refuseConsent(desk, MARA, answerOf({ of: { requestId } })));
  assert.match(reasonOf(await withdraw({ consentId: no.id })), /was refused/);
  const auditor = { name: "x", role: "auditor" } as const;
  assert.match(
    reasonOf(await withdrawConsent(desk, auditor, { consentId: yes.id, by: "x" })),
    /not for the role auditor/,
  );
  assert.equal((await recallsOf(desk, auditor, "all")).done, true);
  assert.equal((await recallsOf(desk, { name: "x", role: "viewer" }, "all")).done, false);
});
