import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import type { Role } from "@samescale/desk";
import { OWN_PAGE, openAppWithPeople, type Signed, signInEveryRole } from "./accounts.ts";
import type { App } from "./harness.ts";

const NOBODYS = "01KT438XG0K6R2VW1H1SQHSZ0H";
let app: App;
let as: Readonly<Record<Role, Signed>>;
before(async () => {
  const opened = await openAppWithPeople();
  app = opened.app;
  as = await signInEveryRole(opened);
});
after(() => app.close());

async function ask(method: "GET" | "POST", path: string, headers: object, payload?: object) {
  const { statusCode, body } = await app.inject({
    method,
    url: `/api${path}`,
    headers: { ...headers },
    ...(payload && { payload }),
  });
  return { status: statusCode, answer: JSON.parse(body) };
}

test("an empty library has no frames, and says how many it hides", async () => {
  const { status, answer } = await ask("GET", "/frames?verdict=repeat", as.photographer);
  assert.equal(status, 200);
  assert.deepEqual([answer.frames, answer.next, answer.counted.all.matches], [[], null, 0]);
});

test("what is asked for wrongly is refused with its name", async () => {
  for (const query of [
    "verdict=good",
    "from=2026-02-30",
    "visit=1",
    "sensitive=everything",
    "after=a%27%20or%201",
    `text=${"x".repeat(301)}`,
  ]) {
    const { status, answer } = await ask("GET", `/frames?${query}`, as.photographer);
    assert.equal(status, 400, query);
    assert.equal(answer.code, query.startsWith("after") ? "SEARCH_CURSOR" : "FIELD_NOT_RIGHT", query);
  }
  assert.equal((await ask("GET", "/frames?request=R-999", as.photographer)).answer.code, "REQUEST_UNKNOWN");
});

test("a frame that is not there is answered as one that may not be seen", async () => {
  for (const role of ["photographer", "requester", "viewer"] as const) {
    const { status, answer } = await ask("GET", `/frames/${NOBODYS}`, as[role]);
    assert.deepEqual([status, answer.code], [404, "FRAME_UNKNOWN"], role);
  }
  const judged = await ask("POST", "/frames/judge", as.lead, { frameIds: [NOBODYS], verdict: "keep" });
  assert.equal(judged.status, 409);
});

test("only photographers judge and put aside; who looks at no pictures gets no list", async () => {
  const acts = [
    ["/frames/judge", { frameIds: [NOBODYS], verdict: "keep" }],
    ["/frames/judge/undo", { before: [{ frameId: NOBODYS, verdictId: null }] }],
    ["/frames/put-aside", { frameIds: [NOBODYS], because: "blurred" }],
    ["/frames/take-back", { frameIds: [NOBODYS], because: "better than none" }],
  ] as const;
  for (const [path, payload] of acts) {
    for (const role of ["requester", "viewer", "administrator", "auditor"] as const)
      assert.equal((await ask("POST", path, as[role], payload)).status, 403, `${path} ${role}`);
    assert.equal((await ask("POST", path, OWN_PAGE, payload)).status, 401, path);
  }
  for (const role of ["administrator", "auditor"] as const)
    assert.equal((await ask("GET", "/frames", as[role])).status, 403);
});

test("bodies are strict", async () => {
  for (const payload of [
    {},
    { frameIds: [] },
    { frameIds: ["x"], verdict: "keep" },
    { frameIds: [NOBODYS], verdict: "perhaps" },
    { frameIds: [NOBODYS], note: "x".repeat(501) },
    { frameIds: Array.from({ length: 501 }, () => NOBODYS), verdict: "keep" },
  ])
    assert.equal((await ask("POST", "/frames/judge", as.photographer, payload)).status, 400);
});
