import assert from "node:assert/strict";
import { test } from "node:test";
import { openInEmergency } from "../../src/access/emergency.ts";
import { letIn } from "../../src/access/let-in.ts";
import { markSensitive } from "../../src/access/mark-sensitive.ts";
import { listOpenings, reviewOpening } from "../../src/access/review.ts";
import { maySeeRequest } from "../../src/access/seeing.ts";
import { requestByCode } from "../../src/look/request-by-code.ts";
import { addPatient } from "../../src/patients/add-patient.ts";
import { addRequest } from "../../src/requests/add-request.ts";
import { addPerson, deskInTime, doneOrThrow, logOf, reasonOf } from "../people/support.ts";
import { faultsOf } from "../support.ts";

const because = "unconscious, the ward needs the earlier pictures";
const REASON = "asked for by the ward";

async function hospital(t: import("node:test").TestContext) {
  const { desk, time } = await deskInTime(t);
  const people = {
    mara: await addPerson(desk, "mara", "photographer"),
    lena: await addPerson(desk, "lena", "lead"),
    vera: await addPerson(desk, "vera", "viewer"),
    rico: await addPerson(desk, "rico", "requester"),
    otto: await addPerson(desk, "otto", "auditor"),
    ada: await addPerson(desk, "ada", "administrator"),
  };
  const { mara } = people;
  const patientOf = async (number: string, name: string, birthDate: string | null) =>
    doneOrThrow(await addPatient(desk, mara, { number, authority: "H", name, birthDate })).id;
  const requestOf = async (patientId: string, code: string) =>
    doneOrThrow(await addRequest(desk, mara, { code, patientId, kind: "clinical" })).id;
  const ida = await patientOf("HN1", "Ida Roth", "1990-04-01");
  const child = await requestOf(ida, "R-1");
  const open = await requestOf(ida, "R-2");
  const unknown = await requestOf(await patientOf("HN2", "Uwe Blau", null), "R-3");
  for (const requestId of [child, unknown]) {
    doneOrThrow(
      await markSensitive(desk, mara, { of: { requestId }, categories: ["child"], because: REASON }),
    );
  }
  const sees = (actor: (typeof people)["mara"], id: string) =>
    maySeeRequest(desk.library.read, actor, id, desk.library.clock().toISOString());
  return { desk, time, people, child, open, unknown, sees };
}

test("what is hidden answers as what is not there, word for word", async (t) => {
  const { desk, people, child } = await hospital(t);
  const { vera, rico, ada } = people;
  const wordsOf = async (actor: typeof vera, code: string) =>
    await requestByCode(desk, actor, code).then(
      ({ id }) => id,
      (thrown: { code: string; message: string; help: string }) =>
        JSON.stringify([thrown.code, thrown.message, thrown.help]).replaceAll(code, "CODE"),
    );
  for (const actor of [vera, rico, ada]) {
    assert.equal(await wordsOf(actor, "R-1"), await wordsOf(actor, "R-9"), actor.role);
    const marking = { categories: [], because: REASON } as const;
    const [hidden, nobodys] = [
      await markSensitive(desk, actor, { of: { requestId: child }, ...marking }),
      await markSensitive(desk, actor, { of: { requestId: "nobody's" }, ...marking }),
    ];
    assert.deepEqual(hidden, nobodys, "the role is asked first");
  }
  assert.equal(await wordsOf(people.mara, "R-1"), child);
  assert.match(await wordsOf(vera, "R-2"), /^[0-9A-Z]{26}$/);
});

test("a requester who guesses codes and ids finds their own request and no other", async (t) => {
  const { desk, people, child, open, unknown, sees } = await hospital(t);
  const { rico } = people;
  const { patient_id } = await desk.library.read
    .selectFrom("request")
    .select("patient_id")
    .where("id", "=", open)
    .executeTakeFirstOrThrow();
  const own = doneOrThrow(await addRequest(desk, rico, { patientId: patient_id, kind: "clinical" }));
  const codes = [...Array.from({ length: 200 }, (_, i) => `R-${i}`), own.code, "%", "R-%", "' or 1=1 --"];
  const found: string[] = [];
  for (const code of codes) {
    await requestByCode(desk, rico, code).then(
      () => found.push(code),
      () => {},
    );
  }
  assert.deepEqual(found, [own.code]);
  for (const id of [child, open, unknown, "%", `${own.id} `]) assert.equal(await sees(rico, id), false, id);
  assert.equal(await sees(rico, own.id), true);
});

test("in an emergency two identifiers of the patient open what is hidden, for four hours, and it is told", async (t) => {
  const { desk, time, people, child, open, sees } = await hospital(t);
  const { vera, lena, otto, rico } = people;
  assert.equal(await sees(vera, child), false);
  const { requests, until } = doneOrThrow(
    await openInEmergency(desk, vera, { patientNumber: "HN1", birthDateOrName: "1990-04-01", because }),
  );
  assert.deepEqual([requests.map(({ code }) => code), until], [["R-1"], "2026-03-15T16:00:00.000Z"]);
  assert.equal(await sees(vera, child), true);
  assert.equal(await sees(rico, child), false, "only for whoever opened it");
  const seen = await listOpenings(desk, lena, "unreviewed");
  assert.deepEqual(
    seen.map(({ requestCode, login, because: why }) => [requestCode, login, why]),
    [["R-1", "vera", because]],
  );
  assert.deepEqual(await listOpenings(desk, otto, "unreviewed"), seen);
  assert.deepEqual(await listOpenings(desk, rico, "all"), []);
  assert.equal((await listOpenings(desk, vera, "all")).length, 1, "one's own");
  const [entry] = (await logOf(desk)).filter(({ act }) => act === "access.emergency");
  assert.deepEqual(JSON.parse(entry!.details).because, because);
  time.at = new Date("2026-03-15T16:00:00.000Z");
  assert.equal(await sees(vera, child), false);
  assert.equal(await sees(vera, open), true);
  assert.equal((await listOpenings(desk, lena, "unreviewed")).length, 1, "over, and still to be looked into");
});

test("guessing identifiers in an emergency gives one and the same answer, and a hit is never quiet", async (t) => {
  const { desk, people } = await hospital(t);
  const { vera, mara, ada, otto } = people;
  const asked = (patientNumber: string, birthDateOrName: string, actor = vera, why = because) =>
    openInEmergency(desk, actor, { patientNumber, birthDateOrName, because: why });
  const words = new Set<string>();
  for (const [number, second] of [
    ["HN1", "1990-04-02"],
    ["HN1", "Ida Roth"],
    ["HN1", ""],
    ["HN2", "1990-04-01"],
    ["HN2", ""],
    ["HN9", "1990-04-01"],
    ["%", "%"],
  ] as const)
    words.add(reasonOf(await asked(number, second)));
  words.add(reasonOf(await asked("HN1", "1990-04-01", mara)));
  assert.equal(words.size, 1);
  assert.match([...words][0]!, /Nothing is hidden from you/);
  assert.deepEqual(await listOpenings(desk, otto, "all"), []);
  for (const actor of [ada, otto])
    assert.match(reasonOf(await asked("HN1", "1990-04-01", actor)), /not for the role/);
  for (const why of ["", "urgent", "\u001b[2Jcleared the screen"]) {
    assert.match(reasonOf(await asked("HN1", "1990-04-01", vera, why)), /reason/);
  }
  doneOrThrow(await asked("HN2", " uwe blau "));
  assert.equal((await listOpenings(desk, otto, "unreviewed")).length, 1);
});

test("an opening is reviewed once, by the lead or an auditor, not by whoever opened it", async (t) => {
  const { desk, people } = await hospital(t);
  const { vera, lena, otto, mara } = people;
  const emergency = { patientNumber: "HN1", birthDateOrName: "1990-04-01", because };
  doneOrThrow(await openInEmergency(desk, vera, emergency));
  const [opening] = await listOpenings(desk, otto, "unreviewed");
  const { id } = opening!;
  const finding = "the patient was in the emergency room, as the ward's book says";
  for (const actor of [vera, mara]) {
    assert.match(reasonOf(await reviewOpening(desk, actor, { id, finding })), /not for the role/);
  }
  assert.match(reasonOf(await reviewOpening(desk, otto, { id, finding: " " })), /what was found/);
  assert.match(reasonOf(await reviewOpening(desk, otto, { id: "x", finding })), /no opening x/);
  doneOrThrow(await reviewOpening(desk, otto, { id, finding }));
  assert.match(reasonOf(await reviewOpening(desk, lena, { id, finding })), /already/);
  assert.deepEqual(await listOpenings(desk, lena, "unreviewed"), []);
  const [reviewed] = await listOpenings(desk, lena, "all");
  assert.deepEqual([reviewed!.reviewedBy, reviewed!.review], ["OTTO", finding]);
  assert.deepEqual(await faultsOf(desk), []);
});

test("marking needs a reason and a category that exists; the lead alone clears evidence and safeguarding", async (t) => {
  const { desk, people, open, sees } = await hospital(t);
  const { mara, lena, vera } = people;
  const mark = (actor: typeof mara, categories: readonly string[], why = REASON) =>
    markSensitive(desk, actor, {
      of: { requestId: open },
      categories: categories as readonly "child"[],
      because: why,
    });
  assert.match(reasonOf(await mark(mara, ["secret"])), /no category "secret"/);
  assert.match(reasonOf(await mark(mara, ["intimate"], "")), /reason/);
  doneOrThrow(await mark(mara, ["evidence", "intimate", "intimate"]));
  assert.equal(await sees(vera, open), false);
  assert.match(reasonOf(await mark(mara, ["intimate"])), /Only the lead clears evidence/);
  doneOrThrow(await mark(mara, ["evidence"]));
  assert.deepEqual(doneOrThrow(await mark(lena, [])).before, ["evidence"]);
  assert.equal(await sees(vera, open), true);
  const marks = (await logOf(desk)).filter(
    ({ act, subject }) => act === "access.mark" && subject.endsWith(open),
  );
  assert.deepEqual(
    marks.map(({ details }) => JSON.parse(details).after),
    [["evidence", "intimate"], ["evidence"], []],
  );
});

test("persons are let in by name and out again; an administrator sees nothing even when named", async (t) => {
  const { desk, people, child, sees } = await hospital(t);
  const { mara, vera, ada, rico } = people;
  const let_ = (logins: readonly string[], why = REASON) =>
    letIn(desk, mara, { requestId: child, logins, because: why });
  assert.match(reasonOf(await let_(["vera", "nobody"])), /no account "nobody"/);
  assert.match(reasonOf(await let_(["vera"], " ")), /reason/);
  doneOrThrow(await let_(["vera", "ada", "rico", "vera"]));
  assert.deepEqual(
    [await sees(vera, child), await sees(rico, child), await sees(ada, child)],
    [true, true, false],
  );
  doneOrThrow(await let_(["rico"]));
  assert.deepEqual([await sees(vera, child), await sees(rico, child)], [false, true]);
});

test("a request that is asked for as sensitive is so from its first moment; a requester cannot try codes", async (t) => {
  const { desk, people, sees } = await hospital(t);
  const { rico, vera, mara } = people;
  const asked = { patientId: null, kind: "non-clinical", sensitive: ["safeguarding", "child"] } as const;
  const { id } = doneOrThrow(await addRequest(desk, rico, asked));
  assert.deepEqual([await sees(rico, id), await sees(mara, id), await sees(vera, id)], [true, true, false]);
  const { sensitive } = await desk.library.read
    .selectFrom("request")
    .select("sensitive")
    .where("id", "=", id)
    .executeTakeFirstOrThrow();
  assert.equal(sensitive, '["child","safeguarding"]');
  const odd = { ...asked, sensitive: ["secret" as "child"] };
  assert.match(reasonOf(await addRequest(desk, rico, odd)), /no category "secret"/);
  const words = new Set<string>();
  for (const code of ["R-1", "R-2", "R-9"])
    words.add(reasonOf(await addRequest(desk, rico, { ...asked, code })));
  assert.deepEqual([...words], ["The department gives a request its code: leave it out"]);
});
