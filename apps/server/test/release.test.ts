import assert from "node:assert/strict";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { type Actor, type Desk, openDesk } from "@samescale/desk";
import { type App, openApp } from "./harness.ts";
import { giveFor, photographedRequest } from "./made-up-request.ts";

const headers = { host: "127.0.0.1", "x-samescale": "1" };
let folder: string;
let desk: Desk;
let app: App;
let actor: Actor;
let job: Awaited<ReturnType<typeof photographedRequest>>;
let other: Awaited<ReturnType<typeof photographedRequest>>;

before(async () => {
  folder = await mkdtemp(join(tmpdir(), "samescale-release-"));
  desk = await openDesk(join(folder, "library"));
  actor = { name: "tester", role: "photographer" };
  job = await photographedRequest(desk, "R-1", "HN10001");
  other = await photographedRequest(desk, "R-2", "HN20002");
  app = await openApp({ desk, personHere: async () => actor });
});
after(async () => {
  await app.close();
  await desk.close();
  await rm(folder, { recursive: true, force: true });
});

const get = (url: string) => app.inject({ url: `/api${url}`, headers });
const post = (url: string, payload: object = {}) =>
  app.inject({ method: "POST", url: `/api${url}`, headers, payload });

/** Starts long work and waits for how it ends. */
async function done<Value>(url: string, payload: object = {}): Promise<Value> {
  const begun = await post(url, payload);
  assert.equal(begun.statusCode, 200, begun.body);
  const { job: id } = begun.json<{ job: string }>();
  for (;;) {
    const now = (await get(`/jobs/${id}`)).json<{ state: string; value: Value; error: unknown }>();
    if (now.state === "done") return now.value;
    assert.equal(now.state, "running", JSON.stringify(now.error));
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
}

const wanted = (more: object = {}) => ({
  scope: "requester",
  form: "pictures",
  frames: job.frames,
  to: "Dr Example",
  purpose: "the wound's course",
  ...more,
});

interface Said {
  readonly why: string;
  readonly frameId: string | null;
  readonly way: string | null;
}

test("refused, then allowed: what is said beforehand is what happens; the receipt, its files and the check follow", async () => {
  const before = (await post("/release/requests/R-1/refusals", wanted())).json<Said[]>();
  assert.deepEqual(
    before.map(({ way }) => way),
    ["consent", "consent"],
  );
  const refused = await done<{ done: boolean; refusals: Said[] }>("/release/requests/R-1/out", wanted());
  assert.deepEqual(refused, { done: false, refusals: before });
  assert.equal((await get("/release/receipts")).json<{ of: number }>().of, 0);

  await giveFor(desk, job.requestId, "requester");
  assert.deepEqual((await post("/release/requests/R-1/refusals", wanted())).json(), []);
  const tried = await done<{ done: boolean; tried: { files: { name: string }[] } }>(
    "/release/requests/R-1/try",
    wanted(),
  );
  assert.equal(tried.tried.files.length, 4);
  assert.equal((await get("/release/receipts")).json<{ of: number }>().of, 0, "a trial leaves nothing");
  const out = await done<{ done: boolean; id: string }>("/release/requests/R-1/out", wanted());
  assert.ok(out.done, JSON.stringify(out));

  const receipt = (await get(`/release/receipts/${out.id}`)).json<{
    mayFetch: boolean;
    receipt: { mark: string; files: { name: string; bytes: number }[] };
  }>();
  assert.equal(receipt.mayFetch, true);
  const [file] = receipt.receipt.files;
  const one = await get(`/release/receipts/${out.id}/file?name=${encodeURIComponent(file!.name)}`);
  assert.equal(one.statusCode, 200);
  assert.equal(one.rawPayload.length, file!.bytes);
  assert.match(`${one.headers["content-disposition"]}`, /^attachment; filename="[A-Z0-9]{8}-001\.jpg"$/);
  const zip = await get(`/release/receipts/${out.id}/zip`);
  assert.equal(zip.rawPayload.subarray(0, 2).toString(), "PK");
  const check = await done<{ faults: unknown[]; files: number }>(`/release/receipts/${out.id}/check`);
  assert.deepEqual(check.faults, []);

  for (const name of ["../library/x", "..%2f..%2fx", "receipt.json"]) {
    const no = await get(`/release/receipts/${out.id}/file?name=${encodeURIComponent(name)}`);
    assert.equal(no.statusCode, 409, name);
  }
  const fromElsewhere = await app.inject({
    url: `/api/release/receipts/${out.id}/zip`,
    headers: { ...headers, "sec-fetch-site": "cross-site", "sec-fetch-mode": "navigate" },
  });
  assert.equal(fromElsewhere.statusCode, 403);
});

test("wrong in every field: nothing chosen, somebody else's picture, hostile names, sizes, an unknown form", async () => {
  await giveFor(desk, job.requestId, "requester");
  const says = async (more: object) =>
    (await post("/release/requests/R-1/refusals", wanted(more)))
      .json<Said[]>()
      .map(({ why }) => why)
      .join("; ");
  assert.match(await says({ frames: [] }), /Name the frames/);
  assert.match(await says({ to: " " }), /who receives it/);
  assert.match(await says({ to: "Dr\u202eelpmaxE" }), /plain letters/);
  assert.match(await says({ to: "x".repeat(301) }), /up to 300/);
  assert.match(await says({ purpose: "a\u0000b" }), /what it is for/);
  assert.match(await says({ expiresOn: "2020-01-01" }), /from today on/);
  assert.match(await says({ frames: [job.frames[0], job.frames[0]] }), /named twice/);
  assert.match(await says({ form: "evidence" }), /no form for/);
  const slipped = await says({ frames: [job.frames[0], other.frames[0]] });
  assert.match(slipped, /no picture of the request/);
  assert.ok(!slipped.includes("IMG"), "not even its name is told");
  const out = await done<{ done: boolean }>(
    "/release/requests/R-1/out",
    wanted({ frames: [job.frames[0], other.frames[0]] }),
  );
  assert.equal(out.done, false);
  for (const more of [
    { to: "x".repeat(401) },
    { form: "exe" },
    { scope: "everything" },
    { frames: ["../x"] },
    { frames: Array.from({ length: 2001 }, () => job.frames[0]) },
    { extra: 1 },
  ]) {
    const answer = await post("/release/requests/R-1/refusals", wanted(more));
    assert.equal(answer.statusCode, 400, JSON.stringify(more).slice(0, 60));
  }
  assert.equal((await get("/release/requests/R-9")).statusCode, 404);
});

test("masks: proposals, a bar over eyes refused with the reason, confirmed, shown as it will be", async () => {
  const [frame] = job.frames;
  const seen = await done<{ sha256: string; proposals: { areas: unknown[] } }>(
    `/release/frames/${frame}/propose`,
  );
  const answers = Object.fromEntries(
    (await get("/release/requests/R-1"))
      .json<{ questions: { kind: string }[] }>()
      .questions.map(({ kind }) => [kind, "not-there"]),
  );
  const body = (areas: object[], more: object = {}) => ({
    proposals: seen.sha256,
    proposed: seen.proposals.areas.map(() => "leave"),
    areas,
    answers: { ...answers, ...more },
  });
  const box = (x: number, y: number, w: number, h: number) => [
    [x, y],
    [x + w, y],
    [x + w, y + h],
    [x, y + h],
  ];
  const bar = await post(
    `/release/frames/${frame}/mask`,
    body([{ kind: "eyes", polygon: box(20, 20, 90, 12) }]),
  );
  assert.equal(bar.statusCode, 409);
  assert.match(bar.json<{ message: string }>().message, /bar over the eyes is no mask/);
  const open = await post(`/release/frames/${frame}/mask`, { ...body([]), answers: {} });
  assert.match(open.json<{ message: string }>().message, /not answered/);
  const areas = [{ kind: "tattoo", polygon: box(0, 0, 120, 160) }];
  const shown = await post(`/release/frames/${frame}/preview`, { scope: "teaching", areas });
  const {
    masked,
    after: beside,
    before: there,
  } = shown.json<{
    masked: number;
    after: { group: string }[];
    before: unknown[];
  }>();
  assert.ok(masked > 0.49, `${masked}`);
  assert.deepEqual(
    beside.map(({ group }) => group),
    ["colour"],
  );
  assert.ok(Array.isArray(there));
  const confirmed = await post(`/release/frames/${frame}/mask`, body(areas, { tattoo: "masked" }));
  assert.equal(confirmed.statusCode, 200, confirmed.body);
});

test("consent withdrawn: what left is listed, answered once, and not fetched again", async () => {
  const consent = await giveFor(desk, other.requestId, "requester");
  const out = await done<{ id: string }>("/release/requests/R-2/out", wanted({ frames: other.frames }));
  const { withdrawConsent } = await import("@samescale/desk");
  assert.ok((await withdrawConsent(desk, actor, { consentId: consent, by: "the patient" })).done);
  const open = (await get("/release/recalls")).json<{ releaseId: string; to: string }[]>();
  assert.deepEqual(
    open.map(({ releaseId }) => releaseId),
    [out.id],
  );
  assert.equal((await get(`/release/receipts/${out.id}/zip`)).statusCode, 409);
  assert.equal((await post(`/release/receipts/${out.id}/answer`, { says: " " })).statusCode, 409);
  assert.equal((await post(`/release/receipts/${out.id}/answer`, { says: "deleted" })).statusCode, 200);
  assert.equal((await post(`/release/receipts/${out.id}/answer`, { says: "twice" })).statusCode, 409);
  assert.deepEqual((await get("/release/recalls")).json(), []);
  assert.equal((await get("/release/recalls?which=all")).json<unknown[]>().length, 1);
  const found = (await get("/release/receipts?which=recalled&words=example")).json<{ of: number }>();
  assert.equal(found.of, 1);
});

test("roles: auditors see lists and no pictures, requesters their own, nobody else anything; the lead adds projects", async (t) => {
  const photographer = actor;
  t.after(() => {
    actor = photographer;
  });
  const all = (await get("/release/receipts")).json<{ releases: { id: string }[] }>().releases;
  const id = all[0]!.id;
  const statuses = async (role: Actor["role"], personId: string | null = null) => {
    actor = { name: "Eve", role, personId };
    const answers = await Promise.all([
      get("/release/requests"),
      get("/release/requests/R-1"),
      post("/release/requests/R-1/out", wanted()),
      post(`/release/frames/${job.frames[0]}/preview`, { scope: "teaching", areas: null }),
      get("/release/receipts"),
      get(`/release/receipts/${id}`),
      get(`/release/receipts/${id}/zip`),
      get("/release/recalls"),
      post(`/release/receipts/${id}/answer`, { says: "x" }),
      post("/release/projects", { name: "S" }),
    ]);
    return answers.map(({ statusCode }) => statusCode);
  };
  assert.deepEqual(await statuses("auditor"), [403, 403, 403, 403, 200, 200, 403, 200, 403, 403]);
  assert.deepEqual(await statuses("requester", "x"), [403, 403, 403, 403, 200, 404, 409, 403, 403, 403]);
  assert.deepEqual(await statuses("viewer", "x"), [403, 403, 403, 403, 403, 403, 403, 403, 403, 403]);
  assert.deepEqual(await statuses("administrator", "x"), [403, 403, 403, 403, 403, 403, 403, 403, 403, 403]);
  actor = { name: "Lena", role: "lead" };
  assert.equal((await post("/release/projects", { name: "Study 1" })).statusCode, 200);
  assert.equal((await post("/release/projects", { name: "Study 1" })).statusCode, 409);
  assert.deepEqual(
    (await get("/release/projects")).json<{ name: string }[]>().map(({ name }) => name),
    ["Study 1"],
  );
  assert.ok(!(await get("/release/projects")).body.includes("key"), "keys stay in the library");
});
