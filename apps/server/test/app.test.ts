import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { type App, openApp } from "./harness.ts";

let app: App;
before(async () => {
  app = await openApp();
});
after(() => app.close());

test("a request under another host name is refused", async () => {
  for (const host of ["evil.example", "127.0.0.1.evil.example", "localhost.evil.example:80"]) {
    const answer = await app.inject({ url: "/api/people/me", headers: { host } });
    assert.equal(answer.statusCode, 421, host);
  }
});

test("what comes from a page of another site is refused; a link from there may open the application", async () => {
  const host = "127.0.0.1";
  const load = { host, "sec-fetch-site": "cross-site", "sec-fetch-mode": "no-cors" };
  assert.equal((await app.inject({ url: "/api/people/me", headers: load })).statusCode, 403);
  const follow = { host, "sec-fetch-site": "cross-site", "sec-fetch-mode": "navigate" };
  assert.equal((await app.inject({ url: "/api/people/me", headers: follow })).statusCode, 200);
  const plain = await app.inject({ method: "POST", url: "/api/jobs/x/stop", headers: { host } });
  assert.equal(plain.statusCode, 403);
});

test("the routes are described in OpenAPI, made from what validates them", async () => {
  const answer = await app.inject({ url: "/api/", headers: { host: "127.0.0.1" } });
  assert.equal(answer.statusCode, 200);
  const { openapi, paths } = answer.json<{ openapi: string; paths: object }>();
  assert.match(openapi, /^3\./);
  assert.ok("/api/jobs/{id}" in paths);
});

test("unknown addresses are told plainly", async () => {
  const answer = await app.inject({ url: "/api/nothing", headers: { host: "127.0.0.1" } });
  assert.equal(answer.statusCode, 404);
  assert.equal(answer.json<{ code: string }>().code, "NO_SUCH_PAGE");
});
