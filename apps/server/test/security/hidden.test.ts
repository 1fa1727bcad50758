import assert from "node:assert/strict";
import { mkdtempSync } from "node:fs";
import { rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { markSensitive, type Role } from "@samescale/desk";
import type { InjectOptions } from "fastify";
import { ownDemonstration } from "../../../cli/test/demonstration.ts";
import { type AppWithPeople, openAppWithPeople, type Signed } from "../accounts.ts";
import { collectRoutes, isWrite, leastRequest, nameOf, type Route } from "./every-route.ts";

/** Nobody's, in the form of ours. */
const UNKNOWN = {
  code: "HQ7ZZ",
  id: "01KT438XG0K6R2VW1H1SQHSZ0H",
  hash: "5f1d3c0b9a8e7f6d5c4b3a29181706f5e4d3c2b1a09f8e7d6c5b4a3928171605",
};
const OUTSIDERS: readonly Role[] = ["requester", "viewer"];
const SKIPPED = new Set(["GET /api/events", "POST /api/people/sign-out", "POST /api/people/sign-in"]);

process.chdir(mkdtempSync(join(tmpdir(), "samescale-hidden-")));

let opened: AppWithPeople;
let folder: string;
let routes: readonly Route[];
/** Every identifier that belongs to the hidden request, and one of the same form that belongs to nothing. */
let hidden: readonly (readonly [string, string])[];
before(async () => {
  ({ folder } = await ownDemonstration());
  const collected = collectRoutes();
  const settings = { onRoute: collected.onRoute, requestsPerMinute: 1_000_000 };
  opened = await openAppWithPeople({}, settings, join(folder, "library"));
  routes = collected.routes;
  hidden = await hideOne();
});
after(async () => {
  await opened.app.close();
  await rm(folder, { recursive: true, force: true });
});

/** Marks a request with frames as intimate. */
async function hideOne(): Promise<[string, string][]> {
  const { read } = opened.desk.library;
  const frame = await read
    .selectFrom("frame")
    .innerJoin("visit", "visit.id", "frame.visit_id")
    .innerJoin("request", "request.id", "visit.request_id")
    .innerJoin("file", "file.frame_id", "frame.id")
    .select(["frame.id as frameId", "visit.id as visitId", "request.id as requestId", "request.code"])
    .select(["file.sha256", "request.patient_id"])
    .where("request.sensitive", "is", null)
    .executeTakeFirstOrThrow();
  const photographer = await read
    .selectFrom("person")
    .select(["id", "name"])
    .where("login", "=", "photographer")
    .executeTakeFirstOrThrow();
  const marked = await markSensitive(
    opened.desk,
    { name: photographer.name, role: "photographer", personId: photographer.id },
    { of: { requestId: frame.requestId }, categories: ["intimate"], because: "asked for by the patient" },
  );
  assert.equal(marked.done, true);
  const derived = await read
    .selectFrom("picture")
    .select(["id"])
    .where("frame_id", "=", frame.frameId)
    .executeTakeFirst();
  return [
    [frame.code, UNKNOWN.code],
    [frame.requestId, UNKNOWN.id],
    [frame.visitId, UNKNOWN.id],
    [frame.frameId, UNKNOWN.id],
    [frame.sha256, UNKNOWN.hash],
    ...(derived ? [[derived.id, UNKNOWN.id] as [string, string]] : []),
  ];
}

let place = 0;
async function ask(route: Route, signed: Signed, text: string) {
  const { url, payload } = leastRequest(route, text);
  const body = isWrite(route) ? { payload: (payload ?? {}) as object } : {};
  const asked = {
    method: route.method,
    url,
    headers: { ...signed },
    remoteAddress: `10.2.0.${place}`,
    ...body,
  };
  const answer = await opened.app.inject(asked as InjectOptions);
  const named = url.includes(encodeURIComponent(text)) || JSON.stringify(payload ?? "").includes(text);
  // Times and new identifiers differ from one answer to the next; what was asked about stands for itself.
  const told = answer.body
    .replaceAll(text, "IT")
    .replaceAll(text.slice(0, 12), "IT")
    .replaceAll(/\d{4}-\d\d-\d\dT[\d:.]+Z/g, "TIME")
    .replaceAll(/"ms":[\d.]+/g, "");
  return { status: answer.statusCode, told, named };
}

test("what somebody may not know of answers word for word like what is not there, in every route", async (t) => {
  let compared = 0;
  for (const role of OUTSIDERS) {
    let signed = await opened.signIn(role);
    for (const route of routes.filter(({ may }) => may.includes(role))) {
      if (SKIPPED.has(nameOf(route))) continue;
      for (const [theirs, nobodys] of hidden) {
        place = (place + 1) % 250;
        const there = await ask(route, signed, theirs);
        if (!there.named) continue;
        const nothing = await ask(route, signed, nobodys);
        const what = `${nameOf(route)} with ${theirs} as ${role}`;
        assert.equal(there.status, nothing.status, `${what}: ${there.told} / ${nothing.told}`);
        const isNew = isWrite(route) && there.status < 300;
        if (!isNew) assert.equal(there.told, nothing.told, what);
        compared += 1;
        if (there.status === 401) signed = await opened.signIn(role);
      }
    }
  }
  assert.ok(compared > 20, `${compared} compared`);
  t.diagnostic(`${compared} pairs of answers compared`);
});

test("somebody else's long work is nobody's", async () => {
  const [one, other] = [await opened.signIn("lead"), await opened.signIn("photographer")];
  const answers = await Promise.all(
    [one, other].map((headers) => opened.app.inject({ url: "/api/jobs", headers })),
  );
  for (const answer of answers) assert.deepEqual(answer.json(), []);
});
