import assert from "node:assert/strict";
import { createHash, randomBytes } from "node:crypto";
import { mkdtemp, readdir, readFile, rm, stat, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, type TestContext, test } from "node:test";
import { inspect } from "node:util";
import { GetObjectCommand, PutObjectCommand } from "@aws-sdk/client-s3";
import type { Originals, Put } from "../../src/index.ts";
import { localCopiesIn } from "../../src/originals/s3/cache.ts";
import { bucketAt } from "../../src/originals/s3/client.ts";
import { s3Place } from "../../src/originals/s3/place.ts";
import { s3Originals } from "../../src/originals/s3/store.ts";
import { type OriginalsUnderTest, originalsContract } from "../contracts/originals-contract.ts";
import { type Meddle, type S3Server, startInFrontOf, startS3 } from "../servers/s3.ts";
import { all, bytesOf, sourceOf, temporaryFolder } from "../support.ts";

const server = await startS3();
after(() => server.stop());

const MIB = 1 << 20;

/** A store of its own below a prefix of its own, as often opened as asked for. */
async function storeAt(at: S3Server, sizes = { wholeBytes: 64 * MIB, partBytes: 8 * MIB }) {
  const folder = await mkdtemp(join(tmpdir(), "samescale-copies-"));
  const originals = `s3://${at.bucket}/${randomBytes(6).toString("hex")}`;
  const place = s3Place({ originals, endpoint: at.endpoint }, at);
  const bucket = bucketAt(place);
  const open = (): Originals =>
    s3Originals(bucket, "originals", localCopiesIn(folder, { maxBytes: 1e9 }), sizes);
  return {
    open,
    bucket,
    folder,
    place,
    async close() {
      bucket.close();
      await rm(folder, { recursive: true, force: true });
    },
  };
}

async function underTest(
  at: S3Server,
  sizes?: { wholeBytes: number; partBytes: number },
): Promise<OriginalsUnderTest> {
  const { open, bucket, folder, place, close } = await storeAt(at, sizes);
  const originals = open();
  return {
    originals,
    again: async () => open(),
    async damage(sha256) {
      const object = {
        Bucket: place.bucket,
        Key: `${place.prefix}originals/${sha256.slice(0, 2)}/${sha256.slice(2, 4)}/${sha256}`,
      };
      const { Body } = await bucket.client.send(new GetObjectCommand(object));
      const bytes = Buffer.from((await Body?.transformToByteArray()) ?? []);
      bytes[0] = (bytes[0] ?? 0) ^ 1;
      await bucket.client.send(new PutObjectCommand({ ...object, Body: bytes }));
    },
    async everything() {
      const listed = await all(originals.list());
      const coming = await readdir(join(folder, "incoming")).catch(() => []);
      return [...listed.map((item) => (item.kind === "original" ? item.sha256 : item.path)), ...coming];
    },
    close,
  };
}

originalsContract("an S3-compatible store", () => underTest(server));
originalsContract("an S3-compatible store, in parts", () =>
  underTest(server, { wholeBytes: 2, partBytes: 1 << 18 }),
);

/** A store behind something that meddles. */
async function behind(t: TestContext, meddle: Meddle, change?: Parameters<typeof startInFrontOf>[2]) {
  const front = await startInFrontOf(server, meddle, change);
  const store = await storeAt(front);
  t.after(async () => {
    await store.close();
    await front.stop();
  });
  return { ...store, originals: store.open() };
}

const BYTES = bytesOf(100_000, 9);
const codeOf = async (work: Promise<unknown>) =>
  work.then(
    () => "none",
    (thrown) => String(thrown.code),
  );

test("S3: a store that knows conditions is never made to replace an object, also when nothing seemed to be there", async (t) => {
  let blind = false;
  const conditions: unknown[] = [];
  const { originals, place } = await behind(t, async ({ method, headers, url = "" }, answer) => {
    if (method === "HEAD" && blind) answer.writeHead(404).end();
    if (method !== "PUT") return method === "HEAD" && blind;
    conditions.push(headers["if-none-match"], headers["x-amz-content-sha256"]);
    const [Bucket = "", ...key] = decodeURIComponent(url.split("?")[0] ?? "")
      .slice(1)
      .split("/");
    const head = new GetObjectCommand({ Bucket, Key: key.join("/") });
    const isThere = await bucketAt({ ...place, endpoint: server.endpoint })
      .client.send(head)
      .then(
        () => true,
        () => false,
      );
    if (isThere) answer.writeHead(412).end();
    return isThere;
  });
  assert.equal((await originals.put(sourceOf(BYTES))).state, "stored");
  blind = true; // another process came first, after this one had looked
  assert.equal((await originals.put(sourceOf(BYTES))).state, "already");
  // The signature covers the bytes: the header is their SHA-256 (S3 API reference, "Signature calculations").
  const sha256 = createHash("sha256").update(BYTES).digest("hex");
  assert.deepEqual(conditions, ["*", sha256, "*", sha256]);
});

test("S3: a store that refuses conditions is asked without", async (t) => {
  const { originals } = await behind(t, ({ headers }, answer) => {
    const refused = headers["if-none-match"] !== undefined;
    if (refused) answer.writeHead(501).end();
    return refused;
  });
  assert.equal((await originals.put(sourceOf(BYTES))).state, "stored");
});

test("S3: what comes back changed is not believed, and does not keep the name", async (t) => {
  let lies = true;
  const { originals } = await behind(
    t,
    () => false,
    ({ method }, piece) => (lies && method === "GET" ? Buffer.from(piece.map((byte) => byte ^ 1)) : piece),
  );
  assert.equal(await codeOf(originals.put(sourceOf(BYTES))), "ORIGINAL_NOT_VERIFIED");
  lies = false;
  assert.deepEqual(await all(originals.list()), []);
  const put = (await originals.put(sourceOf(BYTES))) as Extract<Put, { sha256: string }>;
  assert.equal(put.state, "stored");
});

test("S3: a connection that breaks, a store that is busy for a moment: asked again; one that stays away is named", async (t) => {
  const broken = new Map<string, number>();
  let times = 1;
  const { originals } = await behind(t, ({ method = "" }, answer) => {
    const nth = (broken.get(method) ?? 0) + 1;
    broken.set(method, nth);
    if (nth > times) return false;
    if (nth % 2 === 1) answer.destroy();
    else answer.writeHead(503).end();
    return true;
  });
  assert.equal((await originals.put(sourceOf(BYTES))).state, "stored");
  times = Number.POSITIVE_INFINITY;
  assert.equal(await codeOf(originals.has("a".repeat(64))), "STORE_UNREACHABLE");
});

test("S3: an answer cut off in the middle is a fault, not a shorter picture", async (t) => {
  let cut = false;
  const { originals } = await behind(t, ({ method }, answer) => {
    if (method !== "GET" || !cut) return false;
    answer.writeHead(200, { "content-length": String(BYTES.length) });
    answer.write(BYTES.subarray(0, 5000), () => answer.destroy());
    return true;
  });
  const { sha256 } = (await originals.put(sourceOf(BYTES))) as Extract<Put, { sha256: string }>;
  cut = true;
  assert.equal(await codeOf(originals.rehash(sha256)), "STORE_UNREACHABLE");
});

test("S3: who is not let in, or names a bucket that is not there, is told so, and no fault holds the secret", async () => {
  const secret = "not-a-real-secret-91cc";
  const wrong: readonly [string, Partial<S3Server>][] = [
    ["STORE_REFUSED", { key: "nobody", secret }],
    ["STORE_MISSING", { bucket: "no-such-bucket" }],
    ["STORE_UNREACHABLE", { endpoint: "http://127.0.0.1:1", secret }],
  ];
  for (const [code, change] of wrong) {
    const store = await storeAt({ ...server, ...change });
    const fault = await store
      .open()
      .put(sourceOf(BYTES))
      .then(
        () => assert.fail(`expected ${code}`),
        (thrown) => thrown,
      );
    assert.equal(fault.code, code, inspect(fault));
    assert.ok(!inspect(fault, { depth: 9, showHidden: true }).includes(secret));
    await store.close();
  }
});

test("S3: what is no original is listed as a stray", async (t) => {
  const { originals, bucket, place } = await behind(t, () => false);
  await originals.put(sourceOf(BYTES));
  const sha256 = "d".repeat(64);
  for (const key of ["IMG.JPG", `ab/cd/${sha256}`, `dd/dd/${sha256}.jpg`]) {
    const Key = `${place.prefix}originals/${key}`;
    await bucket.client.send(new PutObjectCommand({ Bucket: place.bucket, Key, Body: "x" }));
  }
  const kinds = (await all(originals.list())).map((item) => item.kind);
  assert.deepEqual(kinds.sort(), ["original", "stray", "stray", "stray"]);
});

test("S3: a local copy is compared before it is lent, fetched again when it was changed, never lent when the store's is wrong", async (t) => {
  const { originals, open, folder } = await behind(t, () => false);
  const { sha256 } = (await originals.put(sourceOf(BYTES))) as Extract<Put, { sha256: string }>;
  const path = await originals.localFile(sha256);
  assert.ok(path.startsWith(folder));
  await writeFile(path, "changed");
  assert.deepEqual(await readFile(await originals.localFile(sha256)), Buffer.from(BYTES));
  await rm(path);
  const [one, two] = await Promise.all([originals.localFile(sha256), open().localFile(sha256)]);
  assert.deepEqual([one, two], [path, path]);
  assert.deepEqual(await readFile(path), Buffer.from(BYTES));
});

test("local copies stay below their size, the least used go first, and what is in use stays", async (t) => {
  const folder = await temporaryFolder(t);
  let now = Date.now();
  const copies = localCopiesIn(folder, { maxBytes: 2500, keepMs: 60_000, clock: () => new Date(now) });
  const keep = async (seed: number) => {
    const bytes = bytesOf(1000, seed);
    const sha256 = createHash("sha256").update(bytes).digest("hex");
    const { path, drop } = await copies.newFile();
    await writeFile(path, bytes);
    await copies.adopt(path, sha256);
    await drop();
    return sha256;
  };
  const first = await keep(1);
  const second = await keep(2);
  now += 30_000;
  const third = await keep(3);
  assert.ok(await copies.find(first), "all were used within the minute");
  now += 45_000;
  await copies.find(first);
  const fourth = await keep(4);
  assert.equal(await copies.find(second), null, "the one that was used least lately went");
  for (const sha256 of [first, third, fourth]) assert.ok(await copies.find(sha256));
  assert.equal((await stat(folder)).mode & 0o077, 0);
});

test("a local copy is never found, taken or forgotten under a path made of somebody's text", async (t) => {
  const folder = await temporaryFolder(t);
  const copies = localCopiesIn(join(folder, "copies"), { maxBytes: 1e6 });
  const beside = join(folder, "beside");
  await writeFile(beside, "x");
  for (const name of ["../../beside", "../beside", "", "a".repeat(63), "A".repeat(64)]) {
    await assert.rejects(copies.find(name), { code: "ORIGINAL_MISSING" });
    await assert.rejects(copies.forget(name), { code: "ORIGINAL_MISSING" });
    await assert.rejects(copies.adopt(beside, name), { code: "ORIGINAL_MISSING" });
  }
  assert.equal(await readFile(beside, "utf8"), "x");
});
