import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";
import { nonceOf, timeStampQuery } from "../../../src/custody/time-stamp/query.ts";
import { readTimeStamp } from "../../../src/custody/time-stamp/reply.ts";
import { temporaryFolder } from "../../support.ts";
import { hasOpenssl, makeAuthority } from "./authority.ts";

const REFERENCE = join(import.meta.dirname, "../../../../../../shared/reference/records-misc.json");
const STAMPED = Buffer.from("samescale signed head 1\nsize 17\n");
const NONCE = Uint8Array.from([200, 1, 2, 3, 4, 5, 6, 7]);

test("the query for a known text is, byte for byte, the one that a stock toolkit writes", async (t) => {
  if (!existsSync(REFERENCE)) return t.skip("the reference folder is not here");
  const { rfc3161_request_sha256_hello: known } = JSON.parse(readFileSync(REFERENCE, "utf8")) as {
    rfc3161_request_sha256_hello: { data: string; der_hex: string };
  };
  const query = await timeStampQuery(Buffer.from(known.data), null);
  assert.equal(Buffer.from(query).toString("hex"), known.der_hex);
  assert.equal(await nonceOf(query), undefined);
});

test("a query with a nonce is read by openssl as it was meant", async (t) => {
  if (!hasOpenssl) return t.skip("openssl is not installed");
  const file = join(await temporaryFolder(t), "head.tsq");
  const query = await timeStampQuery(STAMPED, NONCE);
  writeFileSync(file, query);
  const text = execFileSync("openssl", ["ts", "-query", "-in", file, "-text"], { encoding: "utf8" });
  assert.match(text, /Hash Algorithm: sha256/);
  assert.match(text, /Certificate required: yes/);
  assert.match(text, /Nonce: 0x4801020304050607/i);
  assert.deepEqual([...((await nonceOf(query)) ?? [])], [0x48, 1, 2, 3, 4, 5, 6, 7]);
  assert.equal(await nonceOf(Buffer.from("nothing")), null);
});

test("the reply of an authority is taken, and every reply that is not for this is refused", async (t) => {
  if (!hasOpenssl) return t.skip("openssl is not installed");
  const authority = makeAuthority(await temporaryFolder(t));
  const query = await timeStampQuery(STAMPED, NONCE);
  const nonce = (await nonceOf(query)) ?? null;
  const reply = authority.answer(query);
  const read = await readTimeStamp(reply, STAMPED, nonce);
  assert.equal(read.authority, "Time Stamps of the Test");
  assert.ok(Math.abs(Date.parse(read.time) - Date.now()) < 120_000, read.time);

  const refused = (bytes: Uint8Array, message: RegExp, about: Uint8Array = STAMPED, asked = nonce) =>
    assert.rejects(readTimeStamp(bytes, about, asked), { code: "TIME_STAMP_REFUSED", message });
  await refused(reply, /about something else/, Buffer.from("another head"));
  await refused(reply, /answers another query/, STAMPED, Uint8Array.of(1));
  const unasked = authority.answer(await timeStampQuery(STAMPED, null));
  await refused(unasked, /answers another query/);
  await refused(Buffer.concat([reply, Buffer.of(0)]), /something follows it/);
  await refused(reply.subarray(0, 100), /cut short/);
  await refused(Buffer.from("<html>404</html>"), /it is not/);
  await refused(Buffer.alloc(300_000), /too long/);
  // Another hash than SHA-256 is asked for: this authority knows none, and says so in its status.
  const other = Buffer.from(query);
  other[other.indexOf(Buffer.from("608648016503040201", "hex")) + 8] = 2;
  await refused(authority.answer(other), /did not grant it: status 2/);
  const flipped = (at: number) => Uint8Array.from(reply, (byte, i) => (i === at ? byte ^ 1 : byte));
  const stampedTime = Buffer.from(read.time.replace(/[-T:]|\.\d+/g, ""));
  await refused(flipped(Buffer.from(reply).indexOf(stampedTime) + 13), /signature does not fit/);
  await refused(flipped(reply.length - 1), /signature does not fit/);
});
