import assert from "node:assert/strict";
import * as crypto from "node:crypto";
import { test } from "node:test";
import { hashRaw } from "@node-rs/argon2";
import {
  faultOfPassword,
  hashPassword,
  isPassword,
  isTooCheap,
  PASSWORD_COST,
} from "../../src/people/password.ts";
import { CHEAP } from "./support.ts";

/** Node's own Argon2 (24.7 and later), over another implementation than the library's; not in the type package yet. */
type Argon2Sync = (algorithm: string, parameters: Record<string, Buffer | number>) => Buffer;
const { argon2Sync } = crypto as unknown as { argon2Sync?: Argon2Sync };

const message = Buffer.alloc(32, 1);
const nonce = Buffer.alloc(16, 2);
const secret = Buffer.alloc(8, 3);
const ARGON2ID = 2;

test("the vector of RFC 9106, section 5.3, by Node; the library agrees with Node on all that it lets be set", async (t) => {
  if (!argon2Sync) return t.skip("this Node has no Argon2 of its own to compare with");
  const work = { message, nonce, parallelism: 4, tagLength: 32, memory: 32, passes: 3 };
  // The library takes no associated data: the published tag is Node's, and Node's without it is the library's.
  const published = argon2Sync("argon2id", { ...work, secret, associatedData: Buffer.alloc(12, 4) });
  assert.equal(published.toString("hex"), "0d640df58d78766c08c037a34a8b53c9d01ef0452d75b65eb52520e96b01e659");
  const options = { algorithm: ARGON2ID, outputLen: 32, salt: nonce };
  for (const [memory, passes, parallelism, key] of [
    [32, 3, 4, secret],
    [32, 3, 4, null],
    [64, 1, 1, null],
    [19_456, 2, 1, null],
    [65_536, 3, 4, null],
  ] as const) {
    const theirs = argon2Sync("argon2id", {
      ...{ message, nonce, parallelism, tagLength: 32, memory, passes },
      ...(key && { secret: key }),
    });
    const ours = await hashRaw(message, {
      ...{ ...options, memoryCost: memory, timeCost: passes, parallelism },
      ...(key && { secret: key }),
    });
    assert.equal(ours.toString("hex"), theirs.toString("hex"), `${memory} KiB, ${passes}, ${parallelism}`);
  }
});

test("a password is kept as Argon2id of the stated cost, with a salt of its own", async () => {
  const [one, other] = [
    await hashPassword("one lamp two shadows"),
    await hashPassword("one lamp two shadows"),
  ];
  assert.match(one, /^\$argon2id\$v=19\$m=65536,t=3,p=4\$[A-Za-z0-9+/]{22}\$[A-Za-z0-9+/]{43}$/);
  assert.notEqual(one, other);
  assert.ok(PASSWORD_COST.memoryKiB >= 19_456 && PASSWORD_COST.passes >= 2, "not below OWASP's least");
  assert.equal(await isPassword(one, "one lamp two shadows"), true);
  assert.equal(await isPassword(one, "one lamp two shadow"), false);
});

test("the same characters typed in another form are the same password", async () => {
  const kept = await hashPassword("caf\u00e9 au lait \ufb01n", CHEAP);
  assert.equal(await isPassword(kept, "cafe\u0301 au lait fin", CHEAP), true);
  assert.equal(await isPassword(kept, "cafe au lait fin", CHEAP), false);
});

test("no password, none kept, far too long: never right", async () => {
  const kept = await hashPassword("", CHEAP);
  assert.equal(await isPassword(kept, "", CHEAP), false);
  assert.equal(await isPassword(kept, "x".repeat(257), CHEAP), false);
  assert.equal(await isPassword(null, "anything at all", CHEAP), false);
});

test("a hash made with less work is told, one made with as much is not", async () => {
  const kept = await hashPassword("one lamp two shadows", CHEAP);
  assert.equal(isTooCheap(kept, CHEAP), false);
  for (const raised of [{ memoryKiB: 128 }, { passes: 2 }, { lanes: 2, memoryKiB: 64 }]) {
    assert.equal(isTooCheap(kept, { ...CHEAP, ...raised }), true, JSON.stringify(raised));
  }
  assert.equal(isTooCheap(kept), true);
});

test("what cannot be a password is said, and never repeated in the answer", () => {
  const cases: readonly [string, RegExp | null][] = [
    ["elevenchars", /at least 12/],
    ["twelve chars", null],
    ["\u{1f4f7}".repeat(11), /at least 12/],
    ["x".repeat(300), /at most 256/],
    ["\u00e9".repeat(129), /at most 256/],
    ["abcdabcdabcd", /five different/],
    ["a tab\tin the middle", /can be typed/],
    ["line\nbreak in the middle", /can be typed/],
    ["broken \ud800 text here", /can be typed/],
    ["my name is MARA here", /sign|signs/],
  ];
  for (const [password, expected] of cases) {
    const fault = faultOfPassword(password, "mara");
    if (expected === null) assert.equal(fault, null, password);
    else assert.match(fault ?? "", expected, password);
    if (password.length > 4) assert.ok(!fault?.includes(password));
  }
});
