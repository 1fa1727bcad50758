import assert from "node:assert/strict";
import { createHash } from "node:crypto";
import { test } from "node:test";
import type { NewAnswer } from "../../src/consent/answer.ts";
import { consentForUse } from "../../src/consent/consent-for-use.ts";
import {
  addRequest,
  consentsOf,
  type Desk,
  doneOrThrow,
  giveConsent,
  namePortrayed,
  placeFrames,
  refuseConsent,
  unnamePortrayed,
} from "../../src/index.ts";
import { faultsOf, MARA } from "../support.ts";
import { answerOf, clockedDesk, give, jobOf, picturesIn, RULES, reasonOf } from "./support.ts";

const covered = async (
  desk: Desk,
  requestId: string,
  frameId: string | null,
  scope: NewAnswer["scope"] = "teaching",
  publication: string | null = null,
) => {
  const at = desk.library.clock().toISOString();
  const answer = await consentForUse(desk.library.read, { scope, at, requestId, frameId, publication });
  return answer.covered ? "covered" : answer.why;
};

test("an answer keeps the wording's version and text, who gave it and who took it, and never changes", async (t) => {
  const { desk } = await clockedDesk(t);
  const { requestId, patientId } = await jobOf(desk);
  const { id } = await give(desk, {
    of: { requestId },
    takenBy: "Nurse Example",
    givenAt: "2026-03-14T10:30:00+01:00",
  });
  const { answers } = doneOrThrow(await consentsOf(desk, MARA, requestId));
  const text = "May pictures of you be used for teaching?";
  assert.deepEqual(answers, [
    {
      id,
      scope: "teaching",
      answer: "given",
      capacity: "patient",
      person: null,
      publication: null,
      requestId,
      frames: null,
      givenAt: "2026-03-14T09:30:00.000Z",
      until: null,
      withdrawnAt: null,
      givenBy: "Patient HN10001",
      takenBy: "Nurse Example",
      wordingVersion: "7",
      withdrawn: null,
      details: { how: "written", text, textSha256: createHash("sha256").update(text).digest("hex") },
    },
  ]);
  const row = await desk.library.read.selectFrom("consent").selectAll().executeTakeFirstOrThrow();
  assert.equal(row.patient_id, patientId);
  assert.deepEqual(await faultsOf(desk), []);
});

test("a question that does not hold together is refused, and nothing is written", async (t) => {
  const { desk } = await clockedDesk(t);
  const { requestId, patientId, frames } = await jobOf(desk);
  const other = await jobOf(desk, { number: "HN20002", code: "R-2" });
  const wrong: [Partial<NewAnswer>, RegExp][] = [
    [{ of: { requestId: "x" } }, /no request x/],
    [{ of: { patientId: "x" } }, /no patient x/],
    [{ of: { patientId }, frames }, /together with their request/],
    [{ frames: [] }, /No picture/],
    [{ frames: [frames[0]!, other.frames[0]!] }, new RegExp(`Not of this request: ${other.frames[0]}`)],
    [{ publication: "A journal" }, /names no publication/],
    [{ scope: "publication-print" }, /names the very publication/],
    [{ scope: "publication-print", publication: " " }, /plain text/],
    [{ scope: "publication-print", publication: "A\u202ejournal" }, /plain text/],
    [{ givenAt: "2026-03-15T12:00:01Z" }, /future/],
    [{ givenAt: "yesterday" }, /Expected a time/],
    [{ givenAt: "2026-03-14T10:00:00" }, /with its zone/],
    [{ until: "2026-02-30" }, /Expected a last day/],
    [{ until: "2026-03-14" }, /before it was given/],
    [{ takenBy: "\u001b[2J" }, /plain text/],
    [{ rules: { ...RULES, wordings: [] } }, /no wording for teaching/],
    [{ of: { requestId, person: "Somebody" } }, /the patient is asked/],
    [{ insteadOf: "x" }, /no earlier answer/],
    [{ by: { capacity: "legal-basis", name: "Court", basis: "order 7" } }, /serves evidence only/],
    [
      { by: { capacity: "best-interest", name: "Dr E", policy: "P 3", askAgainOn: null } },
      /best interest, which serves the patient's own care only/,
    ],
    [
      {
        scope: "health-record",
        by: { capacity: "best-interest", name: "Dr E", policy: "P 3", askAgainOn: null },
      },
      /who assessed/,
    ],
    [
      {
        scope: "health-record",
        by: { capacity: "best-interest", name: "Dr E", policy: "P 3", askAgainOn: "in spring" },
        assessed: { by: "Dr E", found: "sedated" },
      },
      /day to ask again/,
    ],
    [
      {
        scope: "evidence",
        by: { capacity: "parental-responsibility", name: "Ann", relation: "mother", child: "agrees" },
      },
      /not for a parent/,
    ],
  ];
  for (const [fields, why] of wrong) {
    const outcome = await giveConsent(desk, MARA, answerOf({ of: { requestId }, ...fields }));
    assert.match(reasonOf(outcome), why);
  }
  for (const [fields, why] of [
    [{ until: "2027-01-01" }, /no last day/],
    [{ insteadOf: "x" }, /takes no other answer's place/],
  ] as const) {
    const outcome = await refuseConsent(desk, MARA, answerOf({ of: { requestId }, ...fields }));
    assert.match(reasonOf(outcome), why);
  }
  for (const role of ["requester", "viewer", "administrator", "auditor"] as const) {
    const outcome = await giveConsent(desk, { name: "x", role }, answerOf({ of: { requestId } }));
    assert.match(reasonOf(outcome), /not for the role/);
  }
  assert.deepEqual(await desk.library.read.selectFrom("consent").select("id").execute(), []);
});

test("children: a parent's yes, the child's own word, and the day before they come of age", async (t) => {
  const { desk } = await clockedDesk(t);
  const { requestId } = await jobOf(desk, { birthDate: "2010-05-04" });
  const mother = (child: "agrees" | "disagrees" | "cannot-say") => ({
    by: { capacity: "parental-responsibility", name: "Ann Example", relation: "mother", child } as const,
  });
  const ask = async (fields: Partial<NewAnswer>) =>
    giveConsent(desk, MARA, answerOf({ of: { requestId }, ...fields }));
  assert.match(reasonOf(await ask({})), /comes of age on 2028-05-04: say who assessed/);
  const assessed = { by: "Dr Example", found: "understands what it is for" };
  assert.equal(reasonOf(await ask({ assessed })), "done");
  assert.match(reasonOf(await ask(mother("disagrees"))), /child does not agree/);
  assert.equal(reasonOf(await ask({ ...mother("disagrees"), scope: "health-record" })), "done");
  assert.equal(doneOrThrow(await ask(mother("agrees"))).until, "2028-05-03");
  assert.equal(doneOrThrow(await ask({ ...mother("agrees"), until: "2027-01-01" })).until, "2027-01-01");
  assert.equal(doneOrThrow(await ask({ ...mother("agrees"), scope: "requester" })).until, null);
  const grown = await jobOf(desk, { number: "HN3", code: "R-3", birthDate: "2008-03-15" });
  const outcome = await giveConsent(
    desk,
    MARA,
    answerOf({ of: { requestId: grown.requestId }, ...mother("agrees") }),
  );
  assert.match(reasonOf(outcome), /came of age on 2026-03-15/);
});

test("an answer for all of a patient's pictures reaches every request of theirs and no other patient's", async (t) => {
  const { desk } = await clockedDesk(t);
  const { patientId, requestId, frames } = await jobOf(desk);
  const later = doneOrThrow(await addRequest(desk, MARA, { code: "R-9", patientId, kind: "clinical" }));
  const other = await jobOf(desk, { number: "HN20002", code: "R-2" });
  await give(desk, { of: { patientId } });
  const [picture] = await picturesIn(desk, later.id, 1);
  assert.equal(await covered(desk, requestId, frames[0]!), "covered");
  assert.equal(await covered(desk, later.id, picture!), "covered");
  assert.match(await covered(desk, other.requestId, other.frames[0]!), /No consent/);
  assert.match(await covered(desk, requestId, picture!), /not one of this request/);
});

test("a picture that is moved takes no yes with it, and every no", async (t) => {
  const { desk, set } = await clockedDesk(t);
  const { patientId, requestId, frames } = await jobOf(desk);
  const second = doneOrThrow(await addRequest(desk, MARA, { code: "R-9", patientId, kind: "clinical" })).id;
  const [one, two] = [frames[0]!, frames[1]!];
  await give(desk, { of: { requestId } });
  const no = answerOf({ of: { requestId }, frames: [two] });
  set("2026-03-15T13:00:00.000Z");
  doneOrThrow(await refuseConsent(desk, MARA, no));
  assert.equal(await covered(desk, requestId, one), "covered");
  assert.match(await covered(desk, requestId, two), /refused/);
  assert.match(await covered(desk, requestId, null), /refused/);
  const move = { frameIds: [one, two], requestId: second, because: "the other leg" };
  doneOrThrow(await placeFrames(desk, MARA, move));
  assert.match(await covered(desk, requestId, one), /not one of this request/);
  assert.match(await covered(desk, second, one), /No consent/);
  set("2026-03-15T12:30:00.000Z");
  await give(desk, { of: { requestId: second } });
  set("2026-03-15T14:00:00.000Z");
  assert.equal(await covered(desk, second, one), "covered");
  assert.match(await covered(desk, second, two), /refused/);
});

test("an answer that takes the place of one that reached further narrows it", async (t) => {
  const { desk } = await clockedDesk(t);
  const { requestId, frames } = await jobOf(desk);
  const wide = await give(desk, { of: { requestId }, givenAt: "2026-03-15T10:00:00Z" });
  await give(desk, { of: { requestId }, frames: [frames[0]!], insteadOf: wide.id });
  assert.equal(await covered(desk, requestId, frames[0]!), "covered");
  assert.match(await covered(desk, requestId, frames[1]!), /withdrawn/);
  const again = answerOf({ of: { requestId }, frames: [frames[0]!], insteadOf: wide.id });
  assert.match(reasonOf(await giveConsent(desk, MARA, again)), /was withdrawn on/);
  const other = await jobOf(desk, { number: "HN20002", code: "R-2" });
  const strange = await give(desk, { of: { requestId: other.requestId }, givenAt: "2026-03-15T10:00:00Z" });
  const wrong = answerOf({ of: { requestId }, insteadOf: strange.id });
  assert.match(reasonOf(await giveConsent(desk, MARA, wrong)), /no earlier answer to this question/);
});

test("a publication is spelled as it is, spaces aside", async (t) => {
  const { desk } = await clockedDesk(t);
  const { requestId } = await jobOf(desk);
  const print = "publication-print" as const;
  await give(desk, { of: { requestId }, scope: print, publication: " The  quarterly, issue 3 " });
  assert.equal(await covered(desk, requestId, null, print, "The quarterly, issue 3"), "covered");
  assert.match(await covered(desk, requestId, null, print, "The quarterly, issue 4"), /No consent/);
  assert.match(await covered(desk, requestId, null, print), /names the very publication/);
});

test("non-clinical: nothing leaves until everybody who can be seen has agreed", async (t) => {
  const { desk, set } = await clockedDesk(t);
  const { id: requestId } = doneOrThrow(
    await addRequest(desk, MARA, { code: "EVENT-1", patientId: null, kind: "non-clinical" }),
  );
  const [one, two] = await picturesIn(desk, requestId, 2);
  const web = { scope: "publication-open-web", publication: "the hospital's own site" } as const;
  const may = (frame: string | null) => covered(desk, requestId, frame, web.scope, web.publication);
  assert.match(await may(one!), /Nobody is named as portrayed/);
  const bert = { of: { requestId, person: "Bert Example" }, ...web };
  assert.match(reasonOf(await giveConsent(desk, MARA, answerOf(bert))), /named first/);
  doneOrThrow(await namePortrayed(desk, MARA, { requestId, name: "Anna Example" }));
  doneOrThrow(await namePortrayed(desk, MARA, { requestId, name: "Bert  Example", frames: [two!] }));
  await give(desk, { of: { requestId, person: "Anna Example" }, ...web });
  assert.equal(await may(one!), "covered");
  assert.match(await may(two!), /^Bert Example: No consent/);
  await give(desk, bert);
  assert.equal(await may(two!), "covered");
  assert.equal(await may(null), "covered");
  set("2026-03-15T13:00:00.000Z");
  doneOrThrow(await refuseConsent(desk, MARA, answerOf(bert)));
  assert.match(await may(two!), /^Bert Example: .*refused/);
  const { portrayed } = doneOrThrow(await consentsOf(desk, MARA, requestId));
  const bertId = portrayed.find(({ name }) => name === "Bert Example")!.id;
  doneOrThrow(await unnamePortrayed(desk, MARA, { id: bertId, because: "was somebody else" }));
  assert.match(await may(two!), /refused/, "a no stays, whoever is named");
  const record = answerOf({ of: { requestId, person: "Anna Example" }, scope: "health-record" });
  assert.match(reasonOf(await giveConsent(desk, MARA, record)), /no health record/);
});
