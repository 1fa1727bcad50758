import assert from "node:assert/strict";
import { test } from "node:test";
import { addPatient } from "../../src/patients/add-patient.ts";
import { openDoor } from "../../src/people/door.ts";
import { hashPassword } from "../../src/people/password.ts";
import { revokeSessions } from "../../src/people/sessions.ts";
import { faultsOf } from "../support.ts";
import { addPerson, CHEAP, deskInTime, doneOrThrow, logOf, PASSWORD } from "./support.ts";

const HOUR_MS = 3_600_000;

async function signedIn(t: import("node:test").TestContext) {
  const { desk, time } = await deskInTime(t);
  const mara = await addPerson(desk, "mara", "photographer", await hashPassword(PASSWORD, CHEAP));
  const door = openDoor(desk, { cost: CHEAP, secondsNow: () => time.seconds });
  const login = { login: "mara", password: PASSWORD, from: "10.0.0.7" };
  const { token, actor } = doneOrThrow(await door.signIn(login));
  const passMs = (ms: number) => {
    time.at = new Date(time.at.getTime() + ms);
  };
  return { desk, time, mara, door, token, actor, passMs };
}

test("a token is renewed after an hour; its session goes on, with what was begun in it", async (t) => {
  const { desk, door, time, token, actor, passMs } = await signedIn(t);
  passMs(HOUR_MS - 1);
  await door.sessionOf(token);
  assert.equal(await door.renew(actor), null, "not yet");
  passMs(1);
  await door.sessionOf(token);
  const [next, second] = await Promise.all([door.renew(actor), door.renew(actor)]);
  assert.ok(next !== null && second === null, "once, whoever asks at the same time");
  assert.deepEqual(await door.sessionOf(token), actor, "the answer with the new one may be lost on its way");
  assert.deepEqual(await door.sessionOf(next), actor, "the same session");
  time.seconds += 59;
  assert.ok(await door.sessionOf(token), "what was on its way counts");
  time.seconds += 1;
  assert.equal(await door.sessionOf(token), null);
  assert.ok(await door.sessionOf(next));
  const patient = { number: "HN1", authority: "H", name: "Ada", birthDate: null };
  assert.equal((await addPatient(desk, actor, patient)).done, true);
  const elsewhere = openDoor(desk);
  assert.equal(await elsewhere.sessionOf(token), null, "for another process the new one alone counts");
  assert.ok(await elsewhere.sessionOf(next));
  assert.deepEqual(
    (await logOf(desk)).map(({ act }) => act).filter((act) => act.startsWith("session.")),
    ["session.begin", "session.renew"],
  );
  const kept = JSON.stringify(await logOf(desk));
  assert.ok(!kept.includes(next) && !kept.includes(token));
  assert.deepEqual(await faultsOf(desk), []);
});

test("a session that was ended ends under both tokens", async (t) => {
  const { desk, door, token, actor, passMs } = await signedIn(t);
  passMs(HOUR_MS);
  await door.sessionOf(token);
  const next = (await door.renew(actor))!;
  doneOrThrow(await revokeSessions(desk, actor, { login: "mara", because: "lost tablet" }));
  assert.equal(await door.sessionOf(token), null);
  assert.equal(await door.sessionOf(next), null);
  assert.equal(await door.renew(actor), null);
});

test("what a page asks by itself keeps nobody signed in; what its person does does", async (t) => {
  const { door, time, token, actor } = await signedIn(t);
  for (let untouchedS = 60; untouchedS < 1800; untouchedS += 60) {
    time.seconds += 60;
    assert.ok(await door.sessionOf(token, untouchedS), `untouched for ${untouchedS} s`);
    assert.equal(await door.isStill(actor), true);
  }
  time.seconds += 60;
  assert.equal(await door.isStill(actor), false, "half an hour");
  assert.equal(await door.sessionOf(token, 0), null);
});

test("whether somebody still is who they were: session, role, and the first account", async (t) => {
  const { desk, time } = await deskInTime(t);
  const door = openDoor(desk, { cost: CHEAP, secondsNow: () => time.seconds });
  assert.equal(await door.isStill({ name: "mara", role: "photographer" }), true);
  await addPerson(desk, "mara", "photographer", await hashPassword(PASSWORD, CHEAP));
  assert.equal(await door.isStill({ name: "mara", role: "photographer" }), false, "there are accounts now");
  const signedIn = await door.signIn({ login: "mara", password: PASSWORD, from: "10.0.0.7" });
  const { actor } = doneOrThrow(signedIn);
  assert.equal(await door.isStill(actor), true);
  assert.equal(await door.isStill({ ...actor, role: "lead" }), false);
});
