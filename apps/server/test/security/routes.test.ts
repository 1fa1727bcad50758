import assert from "node:assert/strict";
import { mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { ROLES, type Role } from "@samescale/desk";
import type { InjectOptions, LightMyRequestResponse } from "fastify";
import {
  type AppWithPeople,
  OWN_PAGE,
  openAppWithPeople,
  type Signed,
  signInEveryRole,
} from "../accounts.ts";
import {
  addressOf,
  collectRoutes,
  isWrite,
  leastRequest,
  nameOf,
  namesIn,
  type Route,
} from "./every-route.ts";

/** For anybody, signed in or not. A route that is added here needs a reason in docs/server.md. */
const OPEN = [
  "GET /",
  "GET /*",
  "GET /api",
  "GET /api/health",
  "GET /api/people/me",
  "GET /service-worker.js",
  "POST /api/people/sign-in",
  "POST /api/people/sign-out",
];
/** It answers as long as somebody listens: `live.test.ts`. */
const ENDLESS = new Set(["GET /api/events"]);
/** They end the session that the other tests go on with: `people.test.ts`. */
const ENDS_SESSION = new Set(["POST /api/people/sign-out"]);

// What a route would write to a path that is not whole, it writes here.
process.chdir(mkdtempSync(join(tmpdir(), "samescale-security-")));
const SITE = join(import.meta.dirname, "site");

let opened: AppWithPeople;
let routes: readonly Route[];
let as: Record<Role, Signed>;
before(async () => {
  const collected = collectRoutes();
  const settings = { onRoute: collected.onRoute, requestsPerMinute: 1_000_000 };
  opened = await openAppWithPeople({ webFolder: SITE }, settings);
  routes = collected.routes;
  as = { ...(await signInEveryRole(opened)) };
});
after(() => opened.app.close());

const api = () => routes.filter(({ url }) => /^\/api(\/|$)/.test(url));

async function ask(
  route: Route,
  headers: object,
  rest: Partial<InjectOptions> = {},
): Promise<LightMyRequestResponse> {
  const { url, payload } = leastRequest(route);
  const body = isWrite(route) ? { payload: (payload ?? {}) as object } : {};
  const asked = { method: route.method, url, ...body, ...rest, headers: { ...headers } };
  const answer = await opened.app.inject(asked as InjectOptions);
  tellsNothing(answer, nameOf(route));
  return answer;
}

/** The same as somebody in a role; what was asked before may have ended their session: then they sign in anew. */
async function askAs(
  role: Role,
  route: Route,
  rest: Partial<InjectOptions> = {},
): Promise<LightMyRequestResponse> {
  const answer = await ask(route, { ...as[role], ...rest.headers }, rest);
  if (answer.statusCode !== 401 || answer.json().code !== "SIGN_IN_NEEDED") return answer;
  as[role] = await opened.signIn(role);
  return await askAs(role, route, rest);
}

/** No stack trace, no path of this machine, whatever was asked. */
function tellsNothing({ body, headers }: LightMyRequestResponse, name: string): void {
  const told = body + JSON.stringify(headers);
  const folders = [opened.desk.library.folder, tmpdir(), process.cwd(), import.meta.dirname];
  for (const folder of folders) assert.ok(!told.includes(`${folder}/`), `${name} tells ${folder}: ${told}`);
  assert.doesNotMatch(told, /node_modules|\.[jt]s:\d+|\n\s+at /, name);
}

test("every route is known: under /api each says who may call it, and what is open is spelled out", () => {
  assert.deepEqual(
    routes
      .filter(({ url, open }) => open || !/^\/api(\/|$)/.test(url))
      .map(nameOf)
      .sort(),
    [...OPEN, "GET /assets/*"].sort(),
  );
  for (const route of api()) assert.ok(route.open || route.may.length > 0, nameOf(route));
  assert.ok(api().length > 20, "the areas are there");
  const described = Object.keys(opened.app.swagger().paths ?? {}).length;
  assert.ok(described > 0 && described <= api().length);
});

test("without a session, or with a made-up one: 401, and nothing else is looked at", async () => {
  for (const route of api().filter(({ open }) => !open)) {
    for (const cookie of [{}, { cookie: `samescale-session=${"A".repeat(43)}` }]) {
      const answer = await ask(route, { ...OWN_PAGE, ...cookie });
      assert.equal(answer.statusCode, 401, nameOf(route));
      assert.equal(answer.json().code, "SIGN_IN_NEEDED", nameOf(route));
    }
  }
});

test("a role that a route is not for: 403; one that it is for is never refused for its role, and nothing breaks", async (t) => {
  for (const route of api()) {
    const name = nameOf(route);
    if (ENDLESS.has(name) || ENDS_SESSION.has(name)) continue;
    for (const role of ROLES) {
      if (!route.open && !route.may.includes(role)) {
        const { statusCode, body } = await askAs(role, route);
        assert.equal(statusCode, 403, `${name} as ${role}`);
        assert.equal(JSON.parse(body).code, "ROLE_NOT_ALLOWED", name);
        continue;
      }
      const answer = await askAs(role, route);
      assert.ok(answer.statusCode < 500, `${name} as ${role}: ${answer.statusCode} ${answer.body}`);
      // The route may be narrower than its roles; that it is for them is not taken back.
      if (answer.statusCode === 403) {
        assert.doesNotMatch(answer.json().message, /^This is not for the role/, name);
      }
    }
  }
  t.diagnostic(`${api().length} routes, ${ROLES.length} roles`);
});

test("from a page of another site or of another name of ours: 403; what changes something without our header: 403", async () => {
  for (const route of routes) {
    const session = as.photographer;
    for (const site of ["cross-site", "same-site"]) {
      const answer = await ask(route, { ...session, "sec-fetch-site": site, "sec-fetch-mode": "cors" });
      assert.equal(answer.statusCode, 403, `${nameOf(route)} from ${site}`);
      assert.equal(answer.json().code, "OTHER_SITE", nameOf(route));
    }
    if (!isWrite(route)) continue;
    const { "x-samescale": _, ...bare } = session;
    assert.equal((await ask(route, bare)).statusCode, 403, nameOf(route));
    const wrong = { ...session, "x-samescale": "yes" };
    assert.equal((await ask(route, wrong)).statusCode, 403, nameOf(route));
    const navigated = { ...session, "sec-fetch-site": "cross-site", "sec-fetch-mode": "navigate" };
    assert.equal((await ask(route, navigated)).statusCode, 403, nameOf(route));
  }
});

test("under another host name: 421", async () => {
  for (const route of routes) {
    const answer = await ask(route, { ...as.photographer, host: "evil.example" });
    assert.equal(answer.statusCode, 421, nameOf(route));
  }
});

const roleFor = (route: Route): Role => route.may[0] ?? "photographer";

test("more than a route takes: 413, before it is read", async () => {
  for (const route of api().filter(isWrite)) {
    if (ENDS_SESSION.has(nameOf(route))) continue;
    const headers = { "content-type": "application/json", "content-length": "900000000" };
    const answer = await askAs(roleFor(route), route, { headers, payload: "{}" });
    assert.equal(answer.statusCode, 413, `${nameOf(route)}: ${answer.body}`);
    assert.equal(answer.json().code, "TOO_LARGE", nameOf(route));
  }
});

const BODIES: readonly (readonly [string, string])[] = [
  ["application/json", '{"half":'],
  ["application/json", '{"__proto__":{"role":"lead"}}'],
  ["application/json", "null"],
  ["application/json", "[]"],
  ["application/json", '"text"'],
  ["application/json", `{"a":${"[".repeat(500)}${"]".repeat(500)}}`],
  ["application/json", '{"\\u0000":"\\ud800"}'],
  ["text/plain", "{}"],
  ["application/x-www-form-urlencoded", "a=b"],
  ["multipart/form-data", "x"],
];

test("bodies that are not right are told so: nothing breaks", async () => {
  for (const route of api().filter(isWrite)) {
    if (ENDS_SESSION.has(nameOf(route))) continue;
    for (const [type, payload] of BODIES) {
      const headers = { "content-type": type };
      const answer = await askAs(roleFor(route), route, { headers, payload });
      const what = `${nameOf(route)} with ${type} ${payload.slice(0, 40)}: ${answer.statusCode} ${answer.body}`;
      assert.ok(answer.statusCode < 500, what);
      if (route.body !== undefined) assert.ok(answer.statusCode >= 400, what);
      if (answer.statusCode >= 400) assert.match(answer.json().code, /^[A-Z_]+$/, what);
    }
  }
});

const ODD = [
  "%00",
  "..%2f..%2f..%2fetc%2fpasswd",
  "'%20or%20'1'%3D'1",
  "%ff",
  "%zz",
  "x".repeat(3000),
  "-1",
  "__proto__",
];

test("addresses that are not right: not found or not right, never broken", async () => {
  for (const route of api()) {
    if (ENDLESS.has(nameOf(route)) || ENDS_SESSION.has(nameOf(route))) continue;
    const [path] = leastRequest(route).url.split("?", 1);
    const odd = /[:*]/.test(route.url) ? ODD.map((one) => addressOf(route, () => one)) : [];
    const names = ["limit", "cursor", "q", "at", "show", "show", ...namesIn(route.query)];
    const queries = ["%00", "-1", "__proto__"].map((one) => names.map((name) => `${name}=${one}`).join("&"));
    for (const address of [...odd, ...queries.map((query) => `${path}?${query}`)]) {
      const answer = await askAs(roleFor(route), route, { url: address });
      assert.ok(answer.statusCode < 500, `${route.method} ${address.slice(0, 200)}: ${answer.body}`);
    }
  }
});

test("every answer brings its headers", async () => {
  for (const route of routes) {
    if (ENDLESS.has(nameOf(route))) continue;
    for (const headers of [OWN_PAGE, as.photographer, { ...OWN_PAGE, host: "evil.example" }]) {
      if (ENDS_SESSION.has(nameOf(route)) && headers === as.photographer) continue;
      const answer = await ask(route, headers);
      const name = `${nameOf(route)}: ${answer.statusCode}`;
      const got = answer.headers;
      assert.match(String(got["content-security-policy"]), /default-src 'none'/, name);
      assert.match(String(got["content-security-policy"]), /frame-ancestors 'none'/, name);
      assert.equal(got["x-content-type-options"], "nosniff", name);
      assert.equal(got["x-frame-options"], "DENY", name);
      assert.equal(got["referrer-policy"], "no-referrer", name);
      assert.equal(got["cross-origin-resource-policy"], "same-origin", name);
      assert.equal(got["cross-origin-opener-policy"], "same-origin", name);
      assert.match(String(got["permissions-policy"]), /camera=\(\)/, name);
      assert.match(String(got["x-request-id"]), /^[0-9a-f-]{36}$/, name);
      assert.ok(got["cache-control"], name);
      assert.equal(got["x-powered-by"], undefined, name);
      assert.equal(got["access-control-allow-origin"], undefined, name);
      if (/^\/api(\/|$)/.test(route.url) && answer.statusCode >= 400) {
        assert.equal(got["cache-control"], "no-store", name);
      }
    }
  }
});
