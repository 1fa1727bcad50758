import assert from "node:assert/strict";
import { join } from "node:path";
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

test("an address that somebody opens is the page's, also one that ends like a file; what a program fetches is not", async (t) => {
  const site = join(import.meta.dirname, "security", "site");
  const own = await openApp({ webFolder: site });
  t.after(() => own.close());
  const get = (url: string, accept: string) => own.inject({ url, headers: { host: "127.0.0.1", accept } });
  const opened = await get("/practice/file/department.yaml", "text/html,application/xhtml+xml,*/*;q=0.8");
  assert.deepEqual([opened.statusCode, opened.headers["content-type"]], [200, "text/html; charset=utf-8"]);
  for (const [url, accept] of [
    ["/practice/file/department.yaml", "*/*"],
    ["/../../package.json", "*/*"],
    ["/api/nothing.json", "text/html"],
  ] as const) {
    assert.equal((await get(url, accept)).statusCode, 404, url);
  }
});
