import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import type { Role } from "@samescale/desk";
import { keepLately } from "../src/lately.ts";
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

test("a series of nobody's is not there, whatever is asked of it", async () => {
  assert.deepEqual((await ask("GET", "/series", as.viewer)).answer, []);
  const picture = `/series/R-9/picture?view=close&frame=${NOBODYS}&widthPx=480`;
  for (const path of ["/series/R-9", "/series/R-9/window?view=close&widthPx=480", picture]) {
    const { status, answer } = await ask("GET", path, as.photographer);
    assert.deepEqual([status, answer.code], [404, "REQUEST_UNKNOWN"], path);
  }
  const compared = await ask("POST", "/series/R-9/compare", as.photographer, { view: "close" });
  assert.deepEqual([compared.status, compared.answer.code], [404, "REQUEST_UNKNOWN"]);
});

test("what is asked for wrongly is refused", async () => {
  for (const query of [
    "view=close&widthPx=480",
    `view=close&frame=x&widthPx=480`,
    `view=close&frame=${NOBODYS}&widthPx=20000`,
    `view=close&frame=${NOBODYS}&widthPx=480&as=everything`,
    `view=close&frame=${NOBODYS}&widthPx=480&part=corner`,
  ])
    assert.equal((await ask("GET", `/series/R-9/picture?${query}`, as.photographer)).status, 400, query);
  for (const points of [
    { frameId: NOBODYS, points: [[1, 1, 1, 1]] },
    { frameId: NOBODYS, points: Array.from({ length: 3 }, () => [1, 1, 1]) },
    { frameId: NOBODYS, points: Array.from({ length: 3 }, () => [1, 1, 1, -1]) },
    { frameId: NOBODYS, points: Array.from({ length: 13 }, () => [1, 1, 1, 1]) },
    { frameId: "x", points: Array.from({ length: 3 }, () => [1, 1, 1, 1]) },
  ]) {
    const { status } = await ask("POST", "/series/R-9/compare", as.photographer, { view: "close", points });
    assert.equal(status, 400, JSON.stringify(points));
  }
});

test("only photographers compare and report; a report goes to those who know the patient", async () => {
  const report = { view: "close", scope: "requester", to: "the clinic", purpose: "the course" };
  for (const role of ["requester", "viewer", "administrator", "auditor"] as const) {
    assert.equal((await ask("POST", "/series/R-9/compare", as[role], { view: "close" })).status, 403, role);
    assert.equal((await ask("POST", "/series/R-9/report", as[role], report)).status, 403, role);
  }
  assert.equal((await ask("GET", "/series", OWN_PAGE)).status, 401);
  for (const change of [{ scope: "teaching" }, { to: "" }, { purpose: "x".repeat(201) }])
    assert.equal((await ask("POST", "/series/R-9/report", as.lead, { ...report, ...change })).status, 400);
});

test("what was made lately is made once, the least lately used is forgotten, a failure is not kept", async () => {
  const lately = keepLately(25);
  const made: string[] = [];
  const get = (key: string) =>
    lately(key, async () => {
      made.push(key);
      return new Uint8Array(10);
    });
  await Promise.all([get("a"), get("a")]);
  await get("b");
  await get("a");
  await get("c"); // 30 bytes: b was used least lately
  await get("a");
  await get("b");
  assert.deepEqual(made, ["a", "b", "c", "b"]);
  await assert.rejects(lately("d", () => Promise.reject(new Error("no"))));
  assert.equal((await lately("d", async () => new Uint8Array(1))).length, 1);
});
