import assert from "node:assert/strict";
import { test } from "node:test";
import { SamescaleError } from "@samescale/errors";
import { OWN_PAGE, openAppWithPeople, PASSWORD } from "./accounts.ts";
import { openApp } from "./harness.ts";

test("health says whether it works and nothing else, to anybody; without its tables it does not", async () => {
  const { app, desk } = await openAppWithPeople();
  const ask = () => app.inject({ url: "/api/health", headers: { host: "127.0.0.1" } });
  const well = await ask();
  assert.deepEqual([well.statusCode, well.body], [200, '{"ok":true}']);
  await desk.close();
  const ill = await ask();
  assert.deepEqual([ill.statusCode, ill.body], [503, '{"ok":false}']);
  await app.close();
});

test("metrics: answers by route and status, no names; for those who answer for it, or the token", async () => {
  const token = "t".repeat(40);
  const { app, signIn } = await openAppWithPeople({}, { metricsToken: token });
  const lead = await signIn("lead");
  await app.inject({ url: "/api/people/accounts/somebody/sessions", headers: lead });
  const bearer = (text: string) => ({ ...OWN_PAGE, authorization: text });
  const ask = (headers: object) => app.inject({ url: "/api/metrics", headers: { ...headers } });
  assert.equal((await ask(OWN_PAGE)).statusCode, 401);
  for (const wrong of ["", `Bearer ${token}x`, `Bearer ${token.slice(1)}`, token, "Bearer "]) {
    assert.equal((await ask(bearer(wrong))).statusCode, 401, wrong);
  }
  assert.equal((await ask(await signIn("photographer"))).statusCode, 403);
  for (const headers of [lead, bearer(`Bearer ${token}`)]) {
    const { statusCode, body } = await ask(headers);
    assert.equal(statusCode, 200);
    const signIns = /^samescale_answers_total\{route="POST \/api\/people\/sign-in",status="200"\} 2$/m;
    assert.match(body, signIns);
    assert.match(body, /route="GET \/api\/people\/accounts\/:login\/sessions",status="403"\} 1$/m);
    assert.match(
      body,
      /^samescale_answer_seconds_bucket\{route="POST \/api\/people\/sign-in",le="\+Inf"\} 2$/m,
    );
    assert.match(body, /^samescale_memory_bytes \d+$/m);
    assert.ok(!body.includes("somebody") && !body.includes("LEAD"));
    for (const line of body.trimEnd().split("\n")) {
      assert.match(line, /^(# (HELP|TYPE) samescale_\w+ .+|samescale_\w+(\{.+\})? [\d.e+-]+)$/, line);
    }
  }
  const none = await openAppWithPeople();
  const asked = await none.app.inject({ url: "/api/metrics", headers: bearer("Bearer null") });
  assert.equal(asked.statusCode, 401);
  await none.app.close();
  await app.close();
});

/** What the server writes to standard error meanwhile. */
async function logOf(work: () => Promise<void>): Promise<string> {
  const { write } = process.stderr;
  let text = "";
  process.stderr.write = ((piece: string) => {
    text += piece;
    return true;
  }) as typeof write;
  try {
    await work();
  } finally {
    process.stderr.write = write;
  }
  return text;
}

test("the log: one JSON line for each answer, by route; no address as asked, no body, no cookie, no name", async () => {
  const text = await logOf(async () => {
    const { app, signIn } = await openAppWithPeople({}, { log: "info" });
    const lead = await signIn("lead");
    const secret = "JANE-DOE-1990";
    await app.inject({ url: `/api/people/openings?which=all&x=${secret}`, headers: lead });
    await app.inject({ url: `/api/${secret}`, headers: { ...lead, "user-agent": secret, referer: secret } });
    await app.inject({ url: `/api/people/accounts/${secret}/sessions`, headers: lead });
    const payload = `{"login":"${secret}`;
    const headers = { ...OWN_PAGE, "content-type": "application/json", "x-request-id": secret };
    await app.inject({ method: "POST", url: "/api/people/sign-in", headers, payload });
    await app.close();
  });
  const lines = text.split("\n").filter((line) => line.startsWith("{"));
  const told = lines.map((line) => JSON.parse(line) as Record<string, unknown>);
  assert.ok(told.length >= 5, text);
  assert.ok(!text.includes("JANE-DOE-1990"), text);
  assert.ok(!/samescale-session|one lamp/.test(text));
  const opening = told.find(({ route }) => route === "GET /api/people/openings")!;
  assert.deepEqual(
    { level: opening.level, status: opening.status, from: opening.from },
    { level: "info", status: 200, from: "127.0.0.1" },
  );
  assert.match(String(opening.person), /^[0-9A-Z]{26}$/);
  assert.match(String(opening.request), /^[0-9a-f-]{36}$/);
  assert.ok(told.some(({ route }) => route === "GET (not served)"));
});

test("a fault of our own: a number for the person, the rest in the log, without what was typed", async () => {
  let answer = { body: "", id: "" };
  const text = await logOf(async () => {
    const personHere = async () => {
      throw new TypeError("cannot read JANE-DOE-1990 of /srv/library");
    };
    const app = await openApp({ personHere }, { log: "error" });
    const { body, headers, statusCode } = await app.inject({ url: "/api/jobs", headers: OWN_PAGE });
    assert.equal(statusCode, 500);
    answer = { body, id: String(headers["x-request-id"]) };
    await app.close();
  });
  assert.ok(answer.body.includes(answer.id), answer.body);
  assert.ok(!/JANE|srv|TypeError/.test(answer.body));
  const line = JSON.parse(text.split("\n").find((one) => one.includes(answer.id))!);
  assert.equal(line.err.type, "TypeError");
  assert.match(line.err.stack, /upkeep\.test\.ts/);
  assert.ok(!text.includes("JANE"));
});

test("where things lie on this machine is not told with an error", async () => {
  const own = { folder: "" };
  const { app, desk } = await openAppWithPeople({
    practice: async () => {
      const message = `${own.folder}/practice/kit.yaml is not there`;
      throw new SamescaleError("PRACTICE_UNREADABLE", message, `See ${process.cwd()}.`);
    },
  });
  own.folder = desk.library.folder;
  const payload = { login: "lead", password: PASSWORD };
  const asked = { method: "POST", url: "/api/people/sign-in", headers: OWN_PAGE, payload } as const;
  const { code, message, help } = (await app.inject(asked)).json();
  assert.deepEqual([code, message], ["PRACTICE_UNREADABLE", "practice/kit.yaml is not there"]);
  assert.ok(!help.includes(process.cwd()), help);
  await app.close();
});

test("behind a proxy: only through it and only over TLS; people are told apart by the address that it names", async () => {
  const settings = { proxies: ["10.0.0.0/28", "fd00::5"], hosts: ["photos.example"], isSecure: true };
  const { app } = await openAppWithPeople({}, settings);
  const ask = async (remoteAddress: string, headers: object) => {
    const all = { host: "photos.example", ...headers };
    const answer = await app.inject({ url: "/api/health", headers: all, remoteAddress });
    return answer.statusCode === 200 ? 200 : answer.json<{ code: string }>().code;
  };
  const forwarded = { "x-forwarded-proto": "https", "x-forwarded-for": "172.16.0.9" };
  assert.equal(await ask("10.0.0.5", forwarded), 200);
  assert.equal(await ask("::ffff:10.0.0.5", forwarded), 200);
  assert.equal(await ask("fd00::5", forwarded), 200);
  assert.equal(await ask("10.0.0.16", forwarded), "NOT_THROUGH_PROXY", "outside of the network");
  assert.equal(await ask("192.168.0.7", forwarded), "NOT_THROUGH_PROXY");
  assert.equal(await ask("10.0.0.5", {}), "NOT_THROUGH_PROXY", "not encrypted");
  assert.equal(await ask("10.0.0.5", { "x-forwarded-proto": "http" }), "NOT_THROUGH_PROXY");
  assert.equal(await ask("10.0.0.5", { ...forwarded, host: "evil.example" }), "HOST_NOT_SERVED");
  const signIn = (from: string) =>
    app.inject({
      method: "POST",
      url: "/api/people/sign-in",
      headers: {
        host: "photos.example",
        "x-samescale": "1",
        "x-forwarded-proto": "https",
        "x-forwarded-for": from,
      },
      payload: { login: "lead", password: "a wrong password" },
      remoteAddress: "10.0.0.5",
    });
  for (let i = 0; i < 5; i++) assert.match((await signIn("172.16.0.9")).body, /not right/);
  assert.match((await signIn("172.16.0.9")).body, /wait/);
  assert.match((await signIn("172.16.0.10")).body, /not right/, "another ward waits for nobody");
  await app.close();
});

test("signing in is bounded for each address, whatever the names", async () => {
  const { app } = await openAppWithPeople();
  const codes = [];
  for (let i = 0; i < 31; i++) {
    const payload = { login: `name${i}`, password: "a wrong password" };
    const answer = await app.inject({
      method: "POST",
      url: "/api/people/sign-in",
      headers: OWN_PAGE,
      payload,
    });
    codes.push(answer.statusCode);
  }
  assert.deepEqual([...new Set(codes.slice(0, 30))], [401]);
  assert.equal(codes[30], 429);
  await app.close();
});

test("a page that nobody touches is signed out; one that is touched is not", async () => {
  const { app, time, signIn } = await openAppWithPeople();
  const lead = await signIn("lead");
  const ask = async (untouchedS: number) => {
    const headers = { ...lead, "x-samescale-untouched": String(untouchedS) };
    return (await app.inject({ url: "/api/jobs", headers })).statusCode;
  };
  for (let minute = 1; minute < 30; minute++) {
    time.seconds += 60;
    assert.equal(await ask(minute * 60), 200, `${minute} min`);
  }
  time.seconds += 60;
  assert.equal(await ask(0), 401, "half an hour is over, whatever it says now");
  for (const odd of ["NaN", "-5", "1e400", "x"]) {
    const headers = { ...(await signIn("lead")), "x-samescale-untouched": odd };
    assert.equal((await app.inject({ url: "/api/jobs", headers })).statusCode, 200, odd);
  }
  await app.close();
});
