import assert from "node:assert/strict";
import { test } from "node:test";
import type { Actor, Role } from "../../src/act/actor.ts";
import { addPatient } from "../../src/patients/add-patient.ts";
import { setPassword } from "../../src/people/change-password.ts";
import { openDoor } from "../../src/people/door.ts";
import { addFirstAccount } from "../../src/people/first-account.ts";
import { listPeople } from "../../src/people/list-people.ts";
import { addAccount, changeAccount, endAccount } from "../../src/people/look-after-accounts.ts";
import { revokeSessions } from "../../src/people/sessions.ts";
import { faultsOf, MARA } from "../support.ts";
import { addPerson, deskInTime, doneOrThrow, logOf, PASSWORD, reasonOf } from "./support.ts";

const because = "as agreed with the head of department";
const FROM = "here";
const PATIENT = { number: "HN1", authority: "H", name: "Ida", birthDate: null };

test("the first account is an administrator, there is one first, and from then on everybody signs in", async (t) => {
  const { desk } = await deskInTime(t);
  const account = { login: "ada", name: "Ada Blum", password: PASSWORD };
  for (const role of ["viewer", "requester", "administrator", "auditor"] as const) {
    assert.match(reasonOf(await addFirstAccount(desk, { name: "x", role }, account)), /not for the role/);
  }
  const { id } = doneOrThrow(await addFirstAccount(desk, MARA, account));
  assert.match(reasonOf(await addFirstAccount(desk, MARA, { ...account, login: "eve" })), /sign in first/);
  const ada: Actor = { name: "Ada Blum", role: "administrator", personId: id };
  assert.match(reasonOf(await addFirstAccount(desk, ada, account)), /not for the role/);
  assert.deepEqual(
    (await listPeople(desk, ada)).map(({ login, role }) => `${login} ${role}`),
    ["ada administrator"],
  );
  const log = JSON.stringify(await logOf(desk));
  assert.ok(!log.includes(PASSWORD) && !log.includes("argon2"));
  assert.deepEqual(await faultsOf(desk), []);
});

test("an account needs a name to sign in with, a name, a role and a password; each name once, for ever", async (t) => {
  const { desk } = await deskInTime(t);
  const ada = await addPerson(desk, "ada", "administrator");
  const account = { login: "mara.k", name: "Mara Kohn", role: "photographer", password: PASSWORD } as const;
  for (const [wrong, why] of [
    [{ login: "Mara" }, /sign in with/],
    [{ login: "m" }, /sign in with/],
    [{ login: "mara\u001b[2J" }, /sign in with/],
    [{ login: "mara\nlead" }, /sign in with/],
    [{ login: "-mara" }, /sign in with/],
    [{ name: "" }, /plain text/],
    [{ name: "Mara\u001b]0;title\u0007" }, /plain text/],
    [{ name: "Mara\nlead:Ada" }, /plain text/],
    [{ name: "Mara\u202egnol" }, /plain text/],
    [{ name: `Mara [${ada.personId}]` }, /square brackets/],
    [{ name: "x".repeat(101) }, /100/],
    [{ role: "root" as Role }, /one of the roles/],
    [{ role: "__proto__" as Role }, /one of the roles/],
    [{ password: "short" }, /at least 12/],
  ] as const) {
    assert.match(reasonOf(await addAccount(desk, ada, { ...account, ...wrong })), why, JSON.stringify(wrong));
  }
  doneOrThrow(await addAccount(desk, ada, account));
  assert.match(reasonOf(await addAccount(desk, ada, account)), /choose another/);
  doneOrThrow(await endAccount(desk, ada, { login: account.login, because }));
  assert.match(reasonOf(await addAccount(desk, ada, account)), /choose another/);
});

test("nobody but an administrator looks after accounts, and a role that was made up helps nobody", async (t) => {
  const { desk } = await deskInTime(t);
  const ada = await addPerson(desk, "ada", "administrator");
  const mara = await addPerson(desk, "mara", "photographer");
  const eve = await addPerson(desk, "eve", "viewer");
  const account = { login: "new", name: "New", role: "lead", password: PASSWORD } as const;
  const before = (await logOf(desk)).length;
  const made: readonly Actor[] = [
    { ...eve, role: "administrator" },
    { ...eve, role: "administrator", name: ada.name },
    { ...eve, personId: "nobody", role: "administrator" },
    { name: ada.name, role: "administrator" },
    { name: ada.name, role: "administrator", personId: null },
    { ...ada, sessionId: "not a session" },
    { ...ada, name: "Somebody else" },
    { ...mara, role: "administrator" },
    { ...eve, role: "toString" as Role },
  ];
  for (const actor of made) {
    for (const outcome of [
      await addAccount(desk, actor, account),
      await changeAccount(desk, actor, { login: "eve", role: "lead", because }),
      await endAccount(desk, actor, { login: "mara", because }),
      await setPassword(desk, actor, { login: "mara", password: PASSWORD }),
      await revokeSessions(desk, actor, { login: "mara", because }),
      await addPatient(desk, { ...actor, role: "lead" }, PATIENT),
    ])
      assert.equal(outcome.done, false, JSON.stringify(actor));
  }
  for (const actor of [mara, eve]) {
    assert.match(reasonOf(await addAccount(desk, actor, account)), /not for the role/);
    assert.match(reasonOf(await changeAccount(desk, actor, { login: "eve", because })), /not for the role/);
    assert.deepEqual(
      (await listPeople(desk, actor)).map(({ name }) => name),
      [actor.name],
    );
  }
  assert.equal((await logOf(desk)).length, before, "what was refused is not in the log");
});

test("a role that is taken away counts at once, and signs out", async (t) => {
  const { desk } = await deskInTime(t);
  const ada = await addPerson(desk, "ada", "administrator");
  const account = { login: "mara", name: "Mara", role: "lead", password: PASSWORD } as const;
  doneOrThrow(await addAccount(desk, ada, account));
  const door = openDoor(desk);
  const { token, actor } = doneOrThrow(await door.signIn({ login: "mara", password: PASSWORD, from: FROM }));
  doneOrThrow(await changeAccount(desk, ada, { login: "mara", role: "viewer", because }));
  assert.equal(await door.sessionOf(token), null);
  assert.match(reasonOf(await addPatient(desk, actor, PATIENT)), /sign in again/);
  const change = (login: string, why: string) =>
    changeAccount(desk, ada, { login, role: "lead", because: why });
  assert.match(reasonOf(await change("ada", because)), /own role/);
  assert.match(reasonOf(await change("mara", " ")), /reason/);
});

test("somebody who left: signed out, password gone, name on record; the last administrator stays", async (t) => {
  const { desk } = await deskInTime(t);
  const ada = await addPerson(desk, "ada", "administrator");
  const account = { login: "mara", name: "Mara Kohn", role: "photographer", password: PASSWORD } as const;
  doneOrThrow(await addAccount(desk, ada, account));
  const door = openDoor(desk);
  const who = { login: "mara", password: PASSWORD, from: FROM };
  const { token, actor } = doneOrThrow(await door.signIn(who));
  doneOrThrow(await addPatient(desk, actor, PATIENT));
  doneOrThrow(await endAccount(desk, ada, { login: "mara", because: "left for another hospital" }));
  assert.equal(await door.sessionOf(token), null);
  assert.match(reasonOf(await door.signIn(who)), /not right/);
  assert.match(reasonOf(await addPatient(desk, actor, { ...PATIENT, number: "HN2" })), /sign in again/);
  const row = (await listPeople(desk, ada)).find(({ login }) => login === "mara");
  const { login, name, role } = account;
  assert.deepEqual(row, { login, name, role, state: "left", openSessions: 0 });
  const { password } = await desk.library.read
    .selectFrom("person")
    .select("password")
    .where("login", "=", "mara")
    .executeTakeFirstOrThrow();
  assert.equal(password, null);
  const added = (await logOf(desk)).find(({ act }) => act === "patient.add");
  assert.equal(added?.actor, `photographer:Mara Kohn [${actor.personId}]`);
  for (const outcome of [
    await endAccount(desk, ada, { login: "mara", because }),
    await changeAccount(desk, ada, { login: "mara", role: "lead", because }),
    await setPassword(desk, ada, { login: "mara", password: PASSWORD }),
    await endAccount(desk, ada, { login: "ada", because }),
  ])
    assert.equal(outcome.done, false);
  assert.deepEqual(await faultsOf(desk), []);
});

test("one's own password needs the present one; either way everybody of that account is signed out", async (t) => {
  const { desk } = await deskInTime(t);
  const ada = await addPerson(desk, "ada", "administrator");
  const account = { login: "mara", name: "Mara", role: "viewer", password: PASSWORD } as const;
  doneOrThrow(await addAccount(desk, ada, account));
  const door = openDoor(desk);
  const who = { login: "mara", password: PASSWORD, from: FROM };
  const { token, actor } = doneOrThrow(await door.signIn(who));
  const next = { login: "mara", password: "three shadows no lamp" };
  for (const present of [{}, { present: "" }, { present: "wrong wrong wrong" }]) {
    assert.match(reasonOf(await setPassword(desk, actor, { ...next, ...present })), /present password/);
  }
  doneOrThrow(await setPassword(desk, actor, { ...next, present: PASSWORD }));
  assert.equal(await door.sessionOf(token), null);
  assert.equal((await door.signIn(who)).done, false);
  doneOrThrow(await door.signIn({ ...who, password: next.password }));
  doneOrThrow(await setPassword(desk, ada, { login: "mara", password: PASSWORD }));
  doneOrThrow(await door.signIn(who));
});
