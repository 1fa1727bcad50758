import assert from "node:assert/strict";
import { existsSync, rmSync } from "node:fs";
import { join } from "node:path";
import { after, before, test } from "node:test";
import type { Role } from "@samescale/desk";
import { type Signed, signInEveryRole } from "./accounts.ts";
import { openAppWithWound, type WoundFrame } from "./wound-frame.ts";

let at: WoundFrame;
let as: Readonly<Record<Role, Signed>>;
before(async () => {
  at = await openAppWithWound();
  as = await signInEveryRole(at);
});
after(() => at.app.close());

async function get(path: string, headers: object = as.photographer) {
  const {
    statusCode,
    headers: told,
    rawPayload,
  } = await at.app.inject({
    method: "GET",
    url: `/api/pictures/${path}`,
    headers: { ...headers },
  });
  return { status: statusCode, told, bytes: rawPayload };
}
const isJpeg = (bytes: Buffer) => bytes.toString("hex", 0, 3) === "ffd8ff";

test("thumbnail, preview and every level are JPEG that no cache keeps", async () => {
  const tiles = await get(`${at.sha256}/tiles.json`);
  assert.deepEqual(JSON.parse(tiles.bytes.toString()), {
    widthPx: 900,
    heightPx: 600,
    tilePx: 512,
    levels: 11,
  });
  // 900 x 600 halved, rounded up, down to one pixel.
  const finest = ["0_0", "1_0", "0_1", "1_1"].map((tile) => `tiles/10/${tile}.jpg`);
  for (const path of ["thumbnail", "preview", "tiles/0/0_0.jpg", "tiles/9/0_0.jpg", ...finest]) {
    const { status, told, bytes } = await get(`${at.sha256}/${path}`);
    assert.deepEqual([status, told["content-type"], isJpeg(bytes)], [200, "image/jpeg", true], path);
    assert.match(String(told["cache-control"]), /no-store/);
  }
});

test("a tile that is not there, a hash that is none, a way out of the folder: nothing is opened", async () => {
  const nobodys = "ab".repeat(32);
  for (const path of [
    `${nobodys}/thumbnail`,
    `${nobodys}/preview`,
    `${nobodys}/tiles.json`,
    `${nobodys}/tiles/0/0_0.jpg`,
    `${at.sha256}/tiles/11/0_0.jpg`,
    `${at.sha256}/tiles/10/2_0.jpg`,
    `${at.sha256}/tiles/10/0_2.jpg`,
  ]) {
    assert.equal((await get(path)).status, 404, path);
  }
  for (const path of [
    `${at.sha256.toUpperCase()}/thumbnail`,
    `${at.sha256}0/tiles.json`,
    "..%2F..%2Fsamescale.db/thumbnail",
    `${at.sha256}/tiles/-1/0_0.jpg`,
    `${at.sha256}/tiles/1e1/0_0.jpg`,
    `${at.sha256}/tiles/0/0_0.png`,
    `${at.sha256}/tiles/0/..%2F..%2F0_0.jpg`,
    `${at.sha256}/tiles/0/0_00000.jpg`,
  ]) {
    assert.equal((await get(path)).status, 400, path);
  }
});

test("who may not see a picture hears what nobody's hash hears, of every kind", async () => {
  for (const path of ["thumbnail", "preview", "tiles.json", "tiles/0/0_0.jpg"]) {
    const there = await get(`${at.sha256}/${path}`, as.requester);
    const nowhere = await get(`${"ab".repeat(32)}/${path}`, as.requester);
    assert.equal(there.status, 404);
    assert.equal(
      there.bytes.toString().replaceAll(at.sha256.slice(0, 12), ""),
      nowhere.bytes.toString().replaceAll("ab".repeat(6), ""),
    );
    assert.equal((await get(`${at.sha256}/${path}`, as.auditor)).status, 403);
    assert.equal((await get(`${at.sha256}/${path}`, {})).status, 401);
  }
});

test("the folder of tiles may be emptied while it is used, and is nobody else's", async () => {
  const folder = join(at.desk.library.folder, "tiles");
  assert.ok(existsSync(folder));
  rmSync(folder, { recursive: true, maxRetries: 10, retryDelay: 100 });
  assert.equal((await get(`${at.sha256}/tiles/10/1_1.jpg`)).status, 200);
  assert.equal((await get(`${at.sha256}/tiles/3/0_0.jpg`)).status, 200);
});
