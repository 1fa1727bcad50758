import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import type { Role } from "@samescale/desk";
import { openAppWithPeople, type Signed, signInEveryRole } from "./accounts.ts";
import type { App } from "./harness.ts";

let app: App;
let as: Readonly<Record<Role, Signed>>;
before(async () => {
  const opened = await openAppWithPeople();
  app = opened.app;
  as = await signInEveryRole(opened);
});
after(() => app.close());

// biome-ignore lint/suspicious/noExplicitAny: whatever a route answers; each test says what it looks for
type Answer = any;

async function ask(role: Role, method: "GET" | "POST" | "PATCH", path: string, payload?: object) {
  const answer = await app.inject({
    method,
    url: `/api${path}`,
    headers: { ...as[role] },
    ...(payload && { payload }),
  });
  const isJson = String(answer.headers["content-type"]).includes("json");
  return {
    status: answer.statusCode,
    headers: answer.headers,
    answer: (isJson ? answer.json() : null) as Answer,
    bytes: answer.rawPayload,
  };
}

const ADA = { number: "HN1", authority: "H", name: "Ada Ek", birthDate: "1960-01-02" };
const details = {
  parts: [{ part: "lower leg", side: "left", marks: [{ chart: "front", x: 0.68, y: 0.83 }] }],
  purpose: "ulcer",
};
const open = async (role: Role = "photographer", more: object = {}): Promise<string> => {
  const { status, answer } = await ask(role, "POST", "/requests", { patient: ADA, details, ...more });
  assert.equal(status, 200, JSON.stringify(answer));
  return answer?.code ?? "";
};

test("a request is taken, listed, found by words, and shown as it was asked for", async () => {
  const code = await open("photographer", { priority: "urgent", dueDate: "2099-01-01" });
  const whole = (await ask("photographer", "GET", `/requests/${code}`)).answer as Record<string, unknown>;
  assert.equal((whole.patient as { name: string }).name, "Ada Ek");
  assert.deepEqual((whole.details as { parts: unknown[] }).parts, details.parts);
  for (const path of ["/requests", "/requests?text=ulcer", "/requests?text=Ek%20leg"]) {
    const { requests } = (await ask("photographer", "GET", path)).answer as { requests: { code: string }[] };
    assert.ok(
      requests.some((one) => one.code === code),
      path,
    );
  }
  const none = (await ask("photographer", "GET", "/requests?text=nowhere")).answer as { requests: [] };
  assert.deepEqual(none.requests, []);
});

test("two who change at once: the second hears who changed what, and what they wrote is not kept", async () => {
  const code = await open();
  const since = (await ask("lead", "GET", `/requests/${code}`)).answer?.version;
  const path = `/requests/${code}`;
  const first = await ask("photographer", "PATCH", path, { since, details: { place: "Ward 7" } });
  assert.equal(first.status, 200);
  const second = await ask("lead", "PATCH", path, { since, details: { place: "Ward 9" } });
  assert.equal(second.status, 409);
  assert.match(String(second.answer?.message), /PHOTOGRAPHER changed it .*place was empty and is "Ward 7"/);
  assert.equal((await ask("lead", "PATCH", path, { details: {} })).status, 400, "a change names its version");
});

test("a requester sees their own, not others', and nothing of the work", async () => {
  const others = await open();
  const own = await open("requester");
  assert.equal((await ask("requester", "GET", `/requests/${own}`)).status, 200);
  const hidden = await ask("requester", "GET", `/requests/${others}`);
  const nothing = await ask("requester", "GET", "/requests/R-NOTHING");
  assert.deepEqual([hidden.status, nothing.status], [404, 404]);
  assert.equal(
    String(hidden.answer?.message).replace(others, "X"),
    String(nothing.answer?.message).replace("R-NOTHING", "X"),
  );
  for (const part of ["consent", "history", "card"]) {
    assert.equal((await ask("requester", "GET", `/requests/${own}/${part}`)).status, 403, part);
  }
  const today = (await ask("requester", "GET", "/today")).answer as { requests: object[]; desk: null };
  assert.deepEqual([today.requests.length, today.desk], [1, null]);
  for (const role of ["administrator", "viewer", "auditor"] as const) {
    assert.equal((await ask(role, "POST", "/requests", { patient: ADA, details })).status, 403, role);
  }
});

test("a plan is tried without being kept, then kept; what cannot be planned is said", async () => {
  const code = await open();
  const path = `/requests/${code}/plan`;
  const wanted = { viewSet: "wound", wishes: { side: "left" } };
  const tried = (await ask("photographer", "POST", `${path}/try`, wanted)).answer as {
    views: { ratio: string; figure: object }[];
  };
  assert.ok(tried.views.length > 0 && tried.views[0]?.figure);
  assert.equal((await ask("photographer", "GET", path)).answer?.plan, null);
  const noSide = await ask("photographer", "POST", `${path}/try`, { viewSet: "wound" });
  assert.deepEqual([noSide.status, noSide.answer?.code], [400, "PLAN_WISHES"]);
  assert.equal((await ask("photographer", "POST", `${path}/try`, { viewSet: "no-such-set" })).status, 400);
  assert.equal((await ask("photographer", "GET", `/requests/${code}/card`)).status, 404);
  assert.equal((await ask("photographer", "POST", path, wanted)).status, 200);
  assert.notEqual((await ask("photographer", "GET", path)).answer?.plan, null);
  const card = await ask("photographer", "GET", `/requests/${code}/card`);
  assert.match(String(card.headers["content-security-policy"]), /default-src 'none'.*script-src 'sha256-/);
  assert.ok(card.bytes.includes(code));
  const pdf = await ask("photographer", "POST", `/requests/${code}/card.pdf`, {});
  assert.equal(pdf.bytes.subarray(0, 5).toString(), "%PDF-");
});

test("consent: the wording and its hash, yes and no, a withdrawal; a child's parent; bad input", async () => {
  const code = await open();
  const path = `/requests/${code}/consent`;
  type Page = {
    questions: { scope: string; wording: { text: string; sha256: string } }[];
    now: { scope: string; covered: boolean }[];
    answers: { id: string; details: { textSha256: string } }[];
  };
  const page = async () => (await ask("photographer", "GET", path)).answer as Page;
  const before = await page();
  assert.equal(before.questions.length, 7);
  const yes = { answer: "given", scope: "teaching", by: { capacity: "patient" }, how: "spoken" };
  const given = await ask("photographer", "POST", path, yes);
  assert.equal(given.status, 200);
  const after = await page();
  const wording = before.questions.find(({ scope }) => scope === "teaching")?.wording;
  assert.equal(after.answers.at(-1)?.details.textSha256, wording?.sha256);
  assert.ok(after.now.some(({ scope, covered }) => scope === "teaching" && covered));
  const end = await ask("photographer", "POST", `${path}/${given.answer?.id}/withdraw`, { by: "Ada Ek" });
  assert.deepEqual(end.answer?.wentOut, []);
  assert.equal(
    (await page()).now.some(({ scope, covered }) => scope === "teaching" && covered),
    false,
  );
  const wrong = { ...yes, by: { capacity: "best-interest", name: "N", policy: "P", askAgainOn: null } };
  assert.equal((await ask("photographer", "POST", path, wrong)).status, 409);
  assert.equal((await ask("photographer", "POST", path, { ...yes, scope: "everything" })).status, 400);
  assert.equal((await ask("photographer", "POST", path, { ...yes, by: { capacity: "king" } })).status, 400);
  const long = { ...yes, publication: "x".repeat(201) };
  assert.equal((await ask("photographer", "POST", path, long)).status, 400);
});

test("a patient's number is judged by the department's formats, and a name is told only to two identifiers", async () => {
  await open();
  const standing = async (role: Role, said: object) =>
    (await ask(role, "POST", "/requests/patient", { ...ADA, name: null, birthDate: null, ...said })).answer;
  assert.deepEqual((await standing("photographer", {}))?.state, "known");
  assert.deepEqual((await standing("photographer", {}))?.name, null);
  assert.equal((await standing("photographer", { birthDate: ADA.birthDate }))?.name, "Ada Ek");
  assert.equal((await standing("requester", { birthDate: ADA.birthDate }))?.state, "hidden");
  const other = { patient: { ...ADA, birthDate: "1961-01-02" }, details };
  const refused = await ask("photographer", "POST", "/requests", other);
  assert.equal(refused.status, 409);
  assert.match(String(refused.answer?.message), /two identifiers do not agree/);
});

test("ended, opened again, and told by whom; codes and bodies that are none are refused", async () => {
  const code = await open();
  const end = (which: string, payload: object) =>
    ask("photographer", "POST", `/requests/${code}/end/${which}`, payload);
  assert.equal((await end("cancel", { because: "" })).status, 400);
  assert.equal((await end("cancel", { because: "went home" })).status, 200);
  assert.equal((await end("cancel", { because: "again" })).status, 409);
  assert.equal((await end("reopen", { because: "came back" })).answer?.state, "open");
  const entries = (await ask("auditor", "GET", `/requests/${code}/history`)).answer as {
    act: string;
    because: string | null;
  }[];
  assert.deepEqual(
    entries.map(({ act, because }) => [act, because]),
    [
      ["request.reopen", "came back"],
      ["request.cancel", "went home"],
      ["request.add", null],
    ],
  );
  for (const path of ["/requests/r-1", "/requests/..%2F..", `/requests/${"A".repeat(40)}`]) {
    assert.ok([400, 404].includes((await ask("photographer", "GET", path)).status), path);
  }
  const hostile = { patient: ADA, details: { purpose: "a\u202eb" } };
  assert.equal((await ask("photographer", "POST", "/requests", hostile)).status, 409);
  assert.equal((await ask("photographer", "GET", "/today/bag?day=2026-02-30")).status, 400);
  assert.equal((await ask("photographer", "GET", "/today/bag?day=2026-06-10")).status, 200);
});
