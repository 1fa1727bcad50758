import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { after, before, test } from "node:test";
import type {
  FirstRunState,
  PracticeChanged,
  PracticeChecked,
  ShownKit,
  ViewSetToEdit,
} from "../src/index.ts";
import { type App, openApp } from "./harness.ts";

const host = "127.0.0.1";
const headers = { host, "x-samescale": "1" };
let app: App;
let practice: string;
before(async () => {
  app = await openApp();
});
after(() => app.close());

const get = async <T>(path: string): Promise<{ status: number; body: T }> => {
  const answer = await app.inject({ url: `/api${path}`, headers: { host } });
  return {
    status: answer.statusCode,
    body: answer.headers["content-type"]?.includes("json") ? answer.json() : (answer.body as T),
  };
};
const send = async <T = { code: string; message: string }>(
  method: "POST" | "PUT" | "PATCH" | "DELETE",
  path: string,
  payload: object = {},
): Promise<{ status: number; body: T }> => {
  const bare = method === "DELETE" ? {} : { payload };
  const answer = await app.inject({ method, url: `/api${path}`, headers, ...bare });
  return { status: answer.statusCode, body: answer.json<T>() };
};
const wound = async () => (await get<ViewSetToEdit>("/practice/view-sets/wound")).body;

test("an empty library asks for its first run; its starting practice is not changed", async () => {
  const { body } = await get<FirstRunState>("/first-run");
  assert.equal(body.isNeeded, true);
  assert.equal(body.practiceIsOwn, false);
  const { file } = await wound();
  const answer = await send("POST", "/practice/change", {
    path: file.path,
    before: file.sha256,
    text: `${file.text}# x\n`,
  });
  assert.equal(answer.status, 409);
  assert.match(answer.body.message, /make it your own/);
});

test("step 1: a name, an age, a number's pattern, each fault in the rules' own words", async () => {
  const wanted = { department: "North Ward Photography", ageOfMajority: 16, number: null };
  for (const [wrong, says] of [
    [{ ageOfMajority: 3 }, /ageOfMajority: .*12/],
    [{ department: "" }, /department: /],
    [{ number: { name: "x", pattern: "[0-9]+", check: "none" } }, /pattern: expected A for a letter/],
  ] as const) {
    const answer = await send("POST", "/first-run/department", { ...wanted, ...wrong });
    assert.equal(answer.status, 409, JSON.stringify(answer.body));
    assert.match(answer.body.message, says);
  }
  const number = { name: "Number", pattern: "999 999 9999", check: "mod11" };
  const done = await send<PracticeChanged>("POST", "/first-run/department", { ...wanted, number });
  assert.equal(done.status, 200, JSON.stringify(done.body));
  const { body } = await get<FirstRunState>("/first-run");
  assert.deepEqual(
    [body.isNeeded, body.department, body.ageOfMajority],
    [false, "North Ward Photography", 16],
  );
  const overview = await get<{ folder: string }>("/practice");
  practice = overview.body.folder;
  // The other lines of the starting file are as they were, comments too.
  assert.match(
    await readFile(join(practice, "department.yaml"), "utf8"),
    /# What is put to whoever is asked/,
  );
});

test("a pattern is tried with an example before anybody relies on it", async () => {
  const tried = (body: object) =>
    send<{ fits: boolean; check: string; fault: string | null }>("POST", "/first-run/number", body);
  // @source NhsNumber: the example that its standard gives
  const format = { pattern: "999 999 9999", check: "mod11" };
  assert.deepEqual((await tried({ ...format, example: "943 476 5919" })).body, {
    fault: null,
    fits: true,
    check: "right",
  });
  assert.deepEqual((await tried({ ...format, example: "943 476 5918" })).body, {
    fault: null,
    fits: true,
    check: "wrong",
  });
  assert.equal((await tried({ ...format, example: "9434765919" })).body.fits, false);
  assert.match((await tried({ pattern: "99", check: "none", example: "" })).body.fault!, /at least 4/);
});

test("step 2: the kit by its numbers; what does not hold is named and nothing is written", async () => {
  const body = { group: "bodies", name: "Body 1", fields: { sensor: "23.5x15.6", pixels: "6000x4000" } };
  const lens = (fNumbers: object) => ({
    group: "lenses",
    name: "Macro",
    fields: { focalMm: 100, greatestRatio: "1:1", closestMm: 290, fNumbers },
  });
  const wrong = await send("POST", "/first-run/kit", {
    things: [body, lens({ least: 32, most: 2.8 })],
    keep: [],
  });
  assert.equal(wrong.status, 409);
  assert.match(wrong.body.message, /the least f-number lies above the most/);
  const things = [body, { ...body, name: "Body 1" }, lens({ least: 2.8, most: 32 })];
  const done = await send("POST", "/first-run/kit", { things, keep: ["mirrors", "wipes"] });
  assert.equal(done.status, 200, JSON.stringify(done.body));
  const { things: kit } = (await get<ShownKit>("/practice/kit")).body;
  assert.deepEqual(
    kit.filter(({ group }) => group === "bodies" || group === "lenses").map(({ id }) => id),
    ["body-1", "body-1-2", "macro"],
  );
  assert.equal(kit.filter(({ group }) => group === "mirrors").length, 5);
  assert.equal(
    kit.some(({ group }) => group === "drapes"),
    false,
  );
});

test("a view set is changed value by value: checked while typed, marked as its own, its version raised, taken back", async () => {
  const before = await wound();
  const { path, sha256, text } = before.file;
  const typed = [{ path: ["views", 0, "ratio"], value: "1:1000" }];
  const checked = await send<PracticeChecked>("POST", "/practice/check", { path, changes: typed });
  assert.deepEqual(
    checked.body.faults.map(({ field, says }) => [field, says]),
    [["views.0.ratio", "expected 1:200 to 5:1"]],
  );
  const refused = await send("POST", "/practice/change", { path, before: sha256, changes: typed });
  assert.equal(refused.status, 409);
  assert.equal((await wound()).file.sha256, sha256);
  const right = [{ path: ["views", 0, "ratio"], value: "1:12" }];
  const done = await send<PracticeChanged>("POST", "/practice/change", {
    path,
    before: sha256,
    changes: right,
  });
  assert.equal(done.status, 200, JSON.stringify(done.body));
  const after = await wound();
  assert.equal(after.version, before.version + 1);
  assert.deepEqual(after.views[0]?.origins.ratio, { mark: "own", says: "this department's own" });
  const lost = text.split("\n").filter((line) => !after.file.text.split("\n").includes(line));
  assert.deepEqual(lost, ["version: 1", "    ratio: 1:10", "    from: { view: chosen, ratio: chosen }"]);
  const late = await send("POST", "/practice/change", { path, before: sha256, changes: right });
  assert.match(late.body.message, /changed by somebody else meanwhile/);
  const undone = await send("POST", "/practice/change/undo", done.body);
  assert.equal(undone.status, 200);
  assert.equal((await wound()).file.text, text);
});

test("a set of one's own from a copy, and taken out again", async () => {
  const copy = { from: "wound", key: "wound-own", name: "Our wounds" };
  for (const key of ["../x", "A", "", "x".repeat(50), "wound/x", "__proto__"]) {
    const answer = await send("POST", "/practice/view-sets", { ...copy, key });
    assert.equal(answer.status, 409, key);
  }
  assert.match(
    (await send("POST", "/practice/view-sets", { ...copy, key: "wound" })).body.message,
    /meanwhile/,
  );
  assert.equal((await send("POST", "/practice/view-sets", { ...copy, from: "nothing" })).status, 404);
  assert.equal((await send("POST", "/practice/view-sets", copy)).status, 200);
  const made = (await get<ViewSetToEdit>("/practice/view-sets/wound-own")).body;
  assert.deepEqual([made.name, made.version, made.views.length], ["Our wounds", 1, 5]);
  const gone = await send("DELETE", `/practice/view-sets/wound-own?before=${made.file.sha256}`);
  assert.equal(gone.status, 200);
  assert.equal((await get("/practice/view-sets/wound-own")).status, 404);
});

test("texts that only burden: nests, aliases that grow, a million characters", async () => {
  const { path, sha256 } = (await wound()).file;
  const bombs = [
    "[".repeat(50_000),
    "- ".repeat(5_000),
    `a0: &a0 [x,x,x,x,x,x,x,x,x]\n${Array.from({ length: 12 }, (_, i) => `a${i + 1}: &a${i + 1} [${Array(9).fill(`*a${i}`).join(",")}]`).join("\n")}\n`,
    "key: &k [*k]\n",
  ];
  const plainText = `${(await wound()).file.text}# once more\n`;
  const began = performance.now();
  await send("POST", "/practice/check", { path, text: plainText });
  // A text that only burdens takes no longer than one that is meant; a second beside it for a busy machine.
  const mostMs = 5 * (performance.now() - began) + 1000;
  for (const text of bombs) {
    const bombBegan = performance.now();
    const checked = await send<PracticeChecked>("POST", "/practice/check", { path, text });
    assert.equal(checked.status, 200);
    assert.ok(checked.body.faults.length > 0);
    assert.ok(performance.now() - bombBegan < mostMs);
    assert.equal((await send("POST", "/practice/change", { path, before: sha256, text })).status, 409);
  }
  assert.equal((await send("POST", "/practice/check", { path, text: "x".repeat(300_000) })).status, 400);
  assert.equal((await send("POST", "/practice/check", { path, text: "x".repeat(2_000_000) })).status, 413);
  const deep = { path, changes: [{ path: ["views", 0, "__proto__", "x"], value: "y" }] };
  assert.equal((await send("POST", "/practice/check", deep)).status, 400);
  assert.equal(({} as { x?: string }).x, undefined);
});

test("no path leads out of the practice", async () => {
  for (const path of [
    "../../etc/passwd",
    "/etc/passwd",
    "view-sets/../kit.yaml",
    "places.json",
    "earlier/x",
    "kit.yaml.part",
  ]) {
    const at = encodeURIComponent(path);
    assert.equal((await get(`/practice/file?path=${at}`)).status, 404, path);
    assert.equal((await get(`/practice/file/earlier?path=${at}&sha256=${"0".repeat(64)}`)).status, 404, path);
    const write = await send("POST", "/practice/change", { path, before: null, text: "x: 1\n" });
    assert.equal(write.status, 409, path);
  }
});

test("one thing of the kit is changed, added, taken out; faults in the register's words", async () => {
  assert.equal(
    (await send("PATCH", "/practice/kit/body-1", { charged: false, broken: "shutter" })).status,
    200,
  );
  const of = async (id: string) =>
    (await get<ShownKit>("/practice/kit")).body.things.find((thing) => thing.id === id);
  assert.deepEqual(
    [(await of("body-1"))?.unusable, (await of("body-1"))?.toDo],
    ["is broken: shutter", ["charge it"]],
  );
  assert.equal((await send("PATCH", "/practice/kit/body-1", { broken: null })).status, 200);
  assert.match(
    (await send("PATCH", "/practice/kit/body-1", { dueOn: "2026-02-30" })).body.message,
    /a day that exists/,
  );
  assert.match((await send("PATCH", "/practice/kit/body-1", { count: -1 })).body.message, /count/);
  assert.equal((await send("PATCH", "/practice/kit/nothing", { count: 1 })).status, 404);
  const scale = { group: "scales", name: "Rule", fields: { kind: "straight", lengthMm: 150, wheels: 4 } };
  assert.match((await send("POST", "/practice/kit", scale)).body.message, /wheels/);
  const { wheels: _, ...fields } = scale.fields;
  assert.equal((await send("POST", "/practice/kit", { ...scale, fields })).status, 200);
  assert.equal((await send("DELETE", "/practice/kit/rule")).status, 200);
  assert.equal(await of("rule"), undefined);
});

test("the front of a lens: what was measured says what it means, impossible distances are refused", async () => {
  const measured = [
    { ratio: "1:2", frontToSubjectMm: 212 },
    { ratio: "1:4", frontToSubjectMm: 405 },
    { ratio: "1:10", frontToSubjectMm: 1004 },
  ];
  const front = await send<{ focalInForceMm: number; says: string }>("POST", "/practice/kit/front", {
    focalMm: 100,
    measured,
  });
  assert.ok(Math.abs(front.body.focalInForceMm - 99) < 2, String(front.body.focalInForceMm));
  const impossible = measured.map((one) => ({ ...one, frontToSubjectMm: 400 }));
  assert.match(
    (await send("POST", "/practice/kit/front", { focalMm: 100, measured: impossible })).body.message,
    /cannot belong to this lens/,
  );
  assert.equal((await send("PUT", "/practice/kit/macro/front", { measured })).status, 200);
  assert.equal((await get<ShownKit>("/practice/kit")).body.lenses[0]?.measured.length, 3);
});

test("scales: printed as PDF, measured, refused when too far off, withdrawn", async () => {
  const sheet = await app.inject({
    url: "/api/practice/scales/sheet.pdf?kind=l&paper=a4&count=2",
    headers: { host },
  });
  assert.equal(sheet.headers["content-type"], "application/pdf");
  assert.ok(sheet.rawPayload.subarray(0, 5).equals(Buffer.from("%PDF-")));
  assert.equal((await get("/practice/scales/sheet.pdf?kind=l&paper=a4&count=5000")).status, 400);
  const measurement = {
    ...{
      id: "rule-1",
      kind: "steel rule",
      nominalMm: 150,
      measuredMm: 150.05,
      by: "A. Name",
      instrument: "calliper",
    },
    ...{ resolutionMm: 0.05, measuredOn: "2026-01-10", dueOn: "2027-01-10" },
  };
  assert.match(
    (await send("POST", "/practice/scales", { ...measurement, measuredMm: 160 })).body.message,
    /off by 6\.67 %/,
  );
  assert.match(
    (
      await send("POST", "/practice/scales", {
        ...measurement,
        measuredOn: "2100-01-01",
        dueOn: "2101-01-01",
      })
    ).body.message,
    /has not come yet/,
  );
  assert.match(
    (await send("POST", "/practice/scales", { ...measurement, id: "B7KM3TQ8" })).body.message,
    /printed scale/,
  );
  assert.equal((await send("POST", "/practice/scales", measurement)).status, 200);
  assert.equal((await send("POST", "/practice/scales/rule-1/withdraw", { why: "bent" })).status, 200);
  const { body } = await get<{ scales: { id: string; withdrawn: string }[] }>("/practice/scales");
  assert.match(body.scales[0]!.withdrawn, /bent/);
});

test("a new wording stands beside the old ones and is put to patients from then on", async () => {
  const text =
    "We would like to show these pictures when we teach. You may say no; your care does not change.";
  const wanted = { scope: "teaching", version: "2026-11", text };
  assert.match(
    (await send("POST", "/practice/wordings", { ...wanted, text: "too short" })).body.message,
    /text: /,
  );
  assert.equal((await send("POST", "/practice/wordings", wanted)).status, 200);
  assert.match((await send("POST", "/practice/wordings", wanted)).body.message, /is there twice/);
  const { body } =
    await get<{ scope: string; wordings: { version: string; text: string; isInForce: boolean }[] }[]>(
      "/practice/wordings",
    );
  const teaching = body.find(({ scope }) => scope === "teaching")!;
  assert.deepEqual(
    teaching.wordings.map(({ version, isInForce }) => [version, isInForce]),
    [
      ["2026-11", true],
      ["0 set your own", false],
    ],
  );
  assert.equal(teaching.wordings[0]?.text, text);
});

test("retention: rules, no proposal of an empty library; holds and destroying ask for what is there", async () => {
  const { body } = await get<{ rules: unknown[]; proposals: unknown[]; mayDestroy: boolean }>(
    "/practice/retention",
  );
  assert.deepEqual([body.rules.length, body.proposals.length, body.mayDestroy], [4, 0, false]);
  assert.equal((await send("POST", "/practice/holds", { code: "R-404", because: "a letter" })).status, 404);
  // Without accounts nobody is the lead.
  assert.equal(
    (await send("POST", "/practice/destroy", { code: "R-1", typed: "R-1", because: "x" })).status,
    403,
  );
  assert.equal((await get("/practice/retention?on=yesterday")).status, 400);
});

test("a backup place is checked before anything is written; a passphrase is in no answer", async () => {
  const wanted = { passphrase: "correct horse battery" };
  for (const [place, says] of [
    ["backup", /whole path/],
    ["/tmp/../etc", /whole path/],
    ["/etc", /other things lie in it/],
    ["/etc/passwd", /no folder of its own/],
    ["/nothing/here", /is not there/],
    ["s3://bucket/main", /store's address/],
  ] as const) {
    const answer = await send("POST", "/practice/backup", { ...wanted, place });
    assert.equal(answer.status, 400, place);
    assert.match(answer.body.message, says);
  }
  const short = await send("POST", "/practice/backup", { place: "/tmp/x", passphrase: "short" });
  assert.equal(short.body.code, "BACKUP_SECRET_SHORT");
  assert.doesNotMatch(JSON.stringify(short.body), /"short"/);
});

test("figures: as a table too, and days that make no sense refused", async () => {
  const { body } = await get<{ requests: { asked: number } }>(
    "/practice/figures?from=2026-01-01&to=2026-12-31",
  );
  assert.equal(body.requests.asked, 0);
  const csv = (await get<string>("/practice/figures.csv?from=2026-01-01&to=2026-12-31")).body;
  assert.match(csv, /^figure,of,number,value,unit\r\n/);
  for (const days of [
    "from=2026-12-31&to=2026-01-01",
    "from=1900-01-01&to=2026-01-01",
    "from=2026-13-01&to=2026-14-01",
    "from=x&to=y",
  ]) {
    assert.equal((await get(`/practice/figures?${days}`)).status, 400, days);
  }
});

test("what is no demonstration is not removed", async () => {
  const answer = await send("POST", "/demonstration/remove", {
    typed: "North Ward Photography",
    keepPractice: false,
  });
  assert.equal(answer.body.code, "DEMO_NOT_REMOVED");
});
