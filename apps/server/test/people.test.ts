import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import type { Role } from "@samescale/desk";
import {
  cookieOf,
  OWN_PAGE,
  openAppWithPeople,
  PASSWORD,
  type Signed,
  signIn,
  signInEveryRole,
} from "./accounts.ts";
import { type App, openApp } from "./harness.ts";

let app: App;
let as: Readonly<Record<Role, Signed>>;
before(async () => {
  const opened = await openAppWithPeople();
  app = opened.app;
  as = await signInEveryRole(opened);
});
after(() => app.close());

async function ask(
  method: "GET" | "POST" | "PUT" | "PATCH",
  path: string,
  headers: object,
  payload?: object,
) {
  const { statusCode, body, ...rest } = await app.inject({
    method,
    url: `/api${path}`,
    headers: { ...headers },
    ...(payload && { payload }),
  });
  return { status: statusCode, answer: JSON.parse(body), set: rest.headers["set-cookie"] };
}

test("without a session nobody is anybody; with one, who they are", async () => {
  assert.equal((await ask("GET", "/people/me", OWN_PAGE)).answer, null);
  const { answer } = await ask("GET", "/people/me", as.lead);
  assert.deepEqual(
    { name: answer.name, role: answer.role, login: answer.login, waiting: answer.openingsWaiting },
    { name: "LEAD", role: "lead", login: "lead", waiting: 0 },
  );
});

test("wrong name and wrong password are answered alike, and no cookie is set", async () => {
  const wrong = [
    { login: "nobody", password: PASSWORD },
    { login: "lead", password: "two lamps no shadow" },
    { login: "", password: "" },
  ];
  const answers = await Promise.all(
    wrong.map((payload) => ask("POST", "/people/sign-in", OWN_PAGE, payload)),
  );
  for (const { status, answer, set } of answers) {
    assert.equal(status, 401);
    assert.equal(answer.code, "SIGN_IN_REFUSED");
    assert.equal(answer.message, "Name or password is not right");
    assert.equal(set, undefined);
  }
});

test("the cookie is out of reach of scripts and other sites; behind TLS for this host alone", async () => {
  const sign = { method: "POST", url: "/api/people/sign-in", headers: OWN_PAGE } as const;
  const payload = { login: "viewer", password: PASSWORD };
  const plain = (await app.inject({ ...sign, payload })).headers["set-cookie"];
  assert.match(String(plain), /^samescale-session=[\w-]{43}; Path=\/; HttpOnly; SameSite=Strict$/);
  const secure = await openApp({}, { isSecure: true });
  const headers = OWN_PAGE;
  const first = { login: "viewer", name: "V", password: PASSWORD };
  const me = async () => (await secure.inject({ url: "/api/people/me", headers })).json();
  assert.equal((await me()).hasAccounts, false);
  await secure.inject({ method: "POST", url: "/api/people/accounts/first", headers, payload: first });
  assert.equal(await me(), null, "from the first account on everybody signs in");
  const { headers: answered } = await secure.inject({ ...sign, payload });
  const pattern = /^__Host-samescale-session=[\w-]{43}; Path=\/; HttpOnly; Secure; SameSite=Strict$/;
  assert.match(String(answered["set-cookie"]), pattern);
  assert.equal(answered["strict-transport-security"], "max-age=31536000; includeSubDomains");
  await secure.close();
});

test("signing in anew ends the session before it, with a new token; signing out ends it at once", async () => {
  const before = await signIn(app, "viewer");
  const payload = { login: "viewer", password: PASSWORD };
  const { set } = await ask("POST", "/people/sign-in", before, payload);
  const now = { ...OWN_PAGE, cookie: cookieOf(set) };
  assert.notEqual(now.cookie, before.cookie);
  assert.equal((await ask("GET", "/people/me", before)).answer, null);
  assert.equal((await ask("GET", "/people/me", now)).answer.name, "VIEWER");
  const out = await ask("POST", "/people/sign-out", now);
  assert.match(String(out.set), /^samescale-session=; Max-Age=0; Path=\/;/);
  assert.equal((await ask("GET", "/people/me", now)).answer, null);
});

test("one's own password: the present one is asked, all sessions end, this browser goes on with a new token", async () => {
  const [here, elsewhere] = [await signIn(app, "requester"), await signIn(app, "requester")];
  const next = "three lamps one shadow";
  const wrong = { present: "not that one at all", password: next };
  const refused = await ask("PUT", "/people/me/password", here, wrong);
  assert.equal(refused.status, 409);
  assert.equal(refused.answer.message, "The present password is not right");
  const right = { present: PASSWORD, password: next };
  const { status, set } = await ask("PUT", "/people/me/password", here, right);
  assert.equal(status, 200);
  for (const old of [here, elsewhere]) assert.equal((await ask("GET", "/people/me", old)).answer, null);
  const on = { ...OWN_PAGE, cookie: cookieOf(set) };
  assert.equal((await ask("GET", "/people/me", on)).answer.login, "requester");
});

test("one's own sessions, and one of them ended", async () => {
  const [here, lost] = [await signIn(app, "auditor"), await signIn(app, "auditor")];
  const { answer } = await ask("GET", "/people/me/sessions", here);
  const theirs = answer as { id: string; isHere: boolean; from: string }[];
  assert.equal(theirs.length, 3, "and the one of before");
  assert.equal(theirs.filter(({ isHere }) => isHere).length, 1);
  assert.equal(theirs[0]!.from, "127.0.0.1");
  const [{ id: sessionId }] = (await ask("GET", "/people/me/sessions", lost)).answer.filter(
    ({ isHere }: { isHere: boolean }) => isHere,
  );
  assert.deepEqual((await ask("POST", "/people/me/sessions/end", here, { sessionId })).answer, { ended: 1 });
  assert.equal((await ask("GET", "/people/me", lost)).answer, null);
  const others = await ask("POST", "/people/me/sessions/end", as.viewer, { sessionId: theirs[0]!.id });
  assert.deepEqual(others.answer, { ended: 0 }, "nobody ends another's");
});

test("an administrator adds, changes, sets a password, ends sessions and accounts; each signs the person out", async () => {
  const tom = { login: "tom", name: "Tom", role: "viewer", password: PASSWORD };
  assert.equal((await ask("POST", "/people/accounts", as.administrator, tom)).status, 200);
  const again = await ask("POST", "/people/accounts", as.administrator, tom);
  assert.equal(again.answer.code, "ACT_REFUSED");
  const steps: ["POST" | "PUT" | "PATCH", string, object][] = [
    ["PATCH", "/people/accounts/tom", { role: "requester", because: "new work" }],
    ["POST", "/people/accounts/tom/sessions/end", { because: "lost tablet" }],
    ["PUT", "/people/accounts/tom/password", { password: PASSWORD }],
    ["POST", "/people/accounts/tom/end", { because: "left the hospital" }],
  ];
  for (const [method, path, payload] of steps) {
    const signed = await signIn(app, "tom");
    const sessions = await ask("GET", "/people/accounts/tom/sessions", as.administrator);
    assert.equal(sessions.answer.length, 1);
    assert.equal((await ask(method, path, as.administrator, payload)).status, 200, path);
    assert.equal((await ask("GET", "/people/me", signed)).answer, null, path);
  }
  const { answer } = await ask("GET", "/people/accounts", as.lead);
  const found = answer.find(({ login }: { login: string }) => login === "tom");
  assert.deepEqual(
    { role: found.role, state: found.state, open: found.openSessions },
    { role: "requester", state: "left", open: 0 },
  );
});

test("an emergency: nothing hidden is told in the same words as nobody", async () => {
  const payload = { patientNumber: "HN1", birthDateOrName: "1990-04-01", because: "unconscious, needed now" };
  const { status, answer } = await ask("POST", "/people/emergency", as.viewer, payload);
  assert.equal(status, 409);
  assert.match(answer.message, /^Nothing is hidden from you/);
  assert.deepEqual((await ask("GET", "/people/openings", as.lead)).answer, []);
});
