import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { join } from "node:path";
import { type TestContext, test } from "node:test";
import { signedHeadText, timeStampsOf } from "@samescale/record";
import { hasOpenssl, makeAuthority } from "../../../record/test/custody/time-stamp/authority.ts";
import { askAuthority, askForTimeStamp, keepTimeStamp } from "../../src/index.ts";
import { faultsOf, freshDesk, MARA, temporaryFolder } from "../support.ts";

/** An HTTP server on this machine that answers as it is told; its address. */
async function served(t: TestContext, answer: (query: Uint8Array) => { status: number; body: Uint8Array }) {
  const server = createServer((request, response) => {
    const pieces: Buffer[] = [];
    request.on("data", (piece) => pieces.push(piece));
    request.on("end", () => {
      assert.equal(request.headers["content-type"], "application/timestamp-query");
      const { status, body } = answer(Buffer.concat(pieces));
      response.writeHead(status, { "content-type": "application/timestamp-reply" }).end(body);
    });
  });
  await new Promise<void>((listening) => server.listen(0, "127.0.0.1", listening));
  t.after(() => server.close());
  return `http://127.0.0.1:${(server.address() as AddressInfo).port}/`;
}

test("an authority stamps the signed head, and openssl accepts what was kept", async (t) => {
  if (!hasOpenssl) return t.skip("openssl is not installed");
  const folder = await temporaryFolder(t);
  const authority = makeAuthority(folder);
  const desk = await freshDesk(t);
  const { head, query } = await askForTimeStamp(desk);
  const url = await served(t, (asked) => ({ status: 200, body: authority.answer(asked) }));
  const reply = await askAuthority(url, query);
  const kept = await keepTimeStamp(desk, MARA, { query, reply });
  assert.equal(kept.size, head.size);
  assert.equal(kept.authority, "Time Stamps of the Test");
  assert.deepEqual(await faultsOf(desk), []);

  const [stored] = await timeStampsOf(desk.library.read);
  assert.ok(stored);
  writeFileSync(join(folder, "head.txt"), signedHeadText(head));
  writeFileSync(join(folder, "kept.tsr"), stored.reply);
  const check = `ts -verify -data ${join(folder, "head.txt")} -in ${join(folder, "kept.tsr")} -CAfile ${authority.certificate}`;
  assert.match(
    execFileSync("openssl", check.split(" "), { encoding: "utf8", stdio: "pipe" }),
    /Verification: OK/,
  );

  await assert.rejects(keepTimeStamp(desk, MARA, { query: Buffer.from("x"), reply }), {
    code: "TIME_STAMP_REFUSED",
    message: /query is not one/,
  });
  const { query: later } = await askForTimeStamp(desk);
  await assert.rejects(keepTimeStamp(desk, MARA, { query: later, reply }), {
    code: "TIME_STAMP_REFUSED",
    message: /answers another query/,
  });
  const other = await freshDesk(t);
  await other.library.signHead();
  await assert.rejects(keepTimeStamp(other, MARA, { query, reply }), { message: /about something else/ });
  const viewer = { name: "vera", role: "viewer" } as const;
  await assert.rejects(keepTimeStamp(desk, viewer, { query, reply }), { code: "ACT_REFUSED" });
});

test("an authority that does not answer, answers wrongly, or without end is told", async (t) => {
  const refused = async (url: string, message: RegExp) =>
    assert.rejects(askAuthority(url, Buffer.from("query")), { code: "TIME_STAMP_UNREACHABLE", message });
  await refused(await served(t, () => ({ status: 500, body: Buffer.from("sorry") })), /it answered 500/);
  const endless = await served(t, () => ({ status: 200, body: Buffer.alloc(500_000) }));
  await refused(endless, /too long to be a reply/);
  await refused("http://127.0.0.1:1/", /did not answer/);
});
