import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { test } from "node:test";
import type { Originals, Put, Source } from "../../src/index.ts";
import { all, bytesOf, sourceOf } from "../support.ts";

/** A store of its own for one test, and how to look behind it. */
export interface OriginalsUnderTest {
  readonly originals: Originals;
  /** The same store, as another process would open it. */
  again(): Promise<Originals>;
  /** Changes one bit of what is kept under this name. */
  damage(sha256: string): Promise<void>;
  /** Everything there is, finished or not. */
  everything(): Promise<string[]>;
  close(): Promise<void>;
}

const ABC = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"; // FIPS 180-4 example
const EMPTY = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"; // SHA-256 of nothing

/** What every store of originals must do. */
export function originalsContract(adapter: string, openStore: () => Promise<OriginalsUnderTest>): void {
  const contract = (title: string, body: (store: OriginalsUnderTest) => Promise<void>) =>
    test(`originals in ${adapter}: ${title}`, async () => {
      const store = await openStore();
      try {
        await body(store);
      } finally {
        await store.close();
      }
    });
  const text = (words: string) => sourceOf(new TextEncoder().encode(words));
  const contentOf = async (from: Originals, sha256: string) => Buffer.concat(await all(from.open(sha256)));
  const shaOf = (put: Put) => {
    assert.notEqual(put.state, "unreadable");
    return (put as { sha256: string }).sha256;
  };

  contract("what is put in comes out byte for byte under its published hash", async ({ originals }) => {
    assert.deepEqual(await originals.put(text("abc")), { state: "stored", sha256: ABC, bytes: 3 });
    assert.equal((await contentOf(originals, ABC)).toString(), "abc");
    assert.equal(await originals.rehash(ABC), ABC);
    assert.equal(await originals.has(ABC), true);
  });

  contract("an empty file is kept like any other", async ({ originals }) => {
    assert.deepEqual(await originals.put(text("")), { state: "stored", sha256: EMPTY, bytes: 0 });
    assert.equal((await contentOf(originals, EMPTY)).length, 0);
  });

  contract("its hash is what the sha256sum program says", async ({ originals }) => {
    for (const length of [1, 999, 1000, 1001, 3_000_017]) {
      const bytes = bytesOf(length, length);
      const sum = execFileSync("sha256sum", { input: bytes, encoding: "utf8" }).slice(0, 64);
      assert.deepEqual(await originals.put(sourceOf(bytes, "a", 65536)), {
        state: "stored",
        sha256: sum,
        bytes: length,
      });
      assert.ok((await contentOf(originals, sum)).equals(bytes));
    }
  });

  contract(
    "the same bytes are kept once, and say that they were there",
    async ({ originals, everything }) => {
      await originals.put(text("abc"));
      const before = await everything();
      assert.equal((await originals.put(text("abc"))).state, "already");
      assert.equal((await originals.put(text("abc"), { expected: ABC })).state, "already");
      assert.deepEqual(await everything(), before);
    },
  );

  contract("a wrong expectation does not hide new bytes", async ({ originals }) => {
    await originals.put(text("abc"));
    const put = await originals.put(text("abd"), { expected: ABC });
    assert.equal(put.state, "stored");
    assert.equal((await contentOf(originals, shaOf(put))).toString(), "abd");
  });

  contract("the same bytes put in ten times at once, through two doors, are kept once", async (store) => {
    const doors = [store.originals, await store.again()];
    const bytes = bytesOf(200_000, 7);
    const puts = await Promise.all(
      Array.from({ length: 10 }, (_, at) => (doors[at % 2] as Originals).put(sourceOf(bytes))),
    );
    assert.equal(puts.filter((put) => put.state === "stored").length, 1);
    assert.equal(puts.filter((put) => put.state === "already").length, 9);
    assert.equal((await all(store.originals.list())).length, 1);
    assert.ok((await contentOf(store.originals, shaOf(puts[0] as Put))).equals(bytes));
  });

  contract("a source that fails half-way is answered, and nothing of it stays", async (store) => {
    const failing: Source = {
      name: "DSC_0007.JPG",
      async *read() {
        yield bytesOf(5000, 1);
        throw Object.assign(new Error("EIO: i/o error, read"), { code: "EIO" });
      },
    };
    const put = await store.originals.put(failing);
    assert.equal(put.state, "unreadable");
    assert.match((put as { error: Error }).error.message, /DSC_0007\.JPG/);
    assert.deepEqual(await store.everything(), []);
  });

  contract("a copy that is damaged is named, never replaced, never called there", async (store) => {
    await store.originals.put(text("abc"));
    await store.damage(ABC);
    await assert.rejects(store.originals.put(text("abc")), { code: "ORIGINAL_DAMAGED" });
    await assert.rejects(store.originals.put(text("abc"), { expected: ABC }), { code: "ORIGINAL_DAMAGED" });
    assert.notEqual(await store.originals.rehash(ABC), ABC);
    assert.equal((await store.everything()).length, 1);
  });

  contract("stopped in the middle, nothing half-written stays", async (store) => {
    const stop = new AbortController();
    const endless: Source = {
      name: "endless",
      async *read() {
        for (let piece = 0; ; piece++) {
          if (piece === 5) stop.abort();
          yield bytesOf(1000, piece);
        }
      },
    };
    await assert.rejects(store.originals.put(endless, { signal: stop.signal }), { name: "AbortError" });
    assert.deepEqual(await store.everything(), []);
  });

  contract("what is not there is said to be missing, and a name is never a path", async ({ originals }) => {
    assert.equal(await originals.rehash(ABC), null);
    assert.equal(await originals.has(ABC), false);
    await assert.rejects(all(originals.open(ABC)), { code: "ORIGINAL_MISSING" });
    await assert.rejects(originals.localFile(ABC), { code: "ORIGINAL_MISSING" });
    for (const name of ["../../../etc/passwd", "", "ABC", `${ABC}/x`, ABC.toUpperCase()]) {
      await assert.rejects(originals.localFile(name), { code: "ORIGINAL_MISSING" });
      await assert.rejects(all(originals.open(name)), { code: "ORIGINAL_MISSING" });
    }
  });

  contract("what is destroyed is gone, alone, and may come again", async ({ originals, everything }) => {
    await originals.put(text("abc"));
    await originals.put(text("other"));
    assert.equal(await originals.destroy(ABC), true);
    assert.equal(await originals.has(ABC), false);
    assert.equal((await everything()).length, 1);
    assert.equal(await originals.destroy(ABC), false);
    // Never a file that exists: a store that is wrong here would remove it.
    await assert.rejects(originals.destroy("../../no/such/file"), { code: "ORIGINAL_MISSING" });
    assert.equal((await originals.put(text("abc"))).state, "stored");
  });

  contract("the list holds every original with its size", async ({ originals }) => {
    const puts = await Promise.all(
      [3, 30, 300].map((length) => originals.put(sourceOf(bytesOf(length, length)))),
    );
    const expected = puts.map(shaOf).sort();
    const listed = (await all(originals.list())).map((item) =>
      item.kind === "original" ? item.sha256 : item.path,
    );
    assert.deepEqual(listed, expected);
    const sizes = (await all(originals.list())).map((item) => (item.kind === "original" ? item.bytes : -1));
    assert.deepEqual(
      sizes.sort((a, b) => a - b),
      [3, 30, 300],
    );
  });

  contract("progress tells every byte of the source", async ({ originals }) => {
    let told = 0;
    await originals.put(sourceOf(bytesOf(12_345, 1)), { onBytes: (bytes) => (told += bytes) });
    assert.equal(told, 12_345);
  });

  contract("sweeping removes nothing that is being written now", async (store) => {
    let swept = -1;
    const slow: Source = {
      name: "slow",
      async *read() {
        yield bytesOf(10, 1);
        swept = await (await store.again()).sweep();
        yield bytesOf(10, 2);
      },
    };
    assert.equal((await store.originals.put(slow)).state, "stored");
    assert.equal(swept, 0);
  });
}
