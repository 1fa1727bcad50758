import assert from "node:assert/strict";
import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import { createPicturePool } from "@samescale/picture";
import sharp from "sharp";

const GREY = { width: 4000, height: 3000, channels: 3, background: "#888" } as const;

test("what a closed pool is asked, and what it was at, is told that the program ends; nothing begins anew", async (t) => {
  const folder = await mkdtemp(join(tmpdir(), "samescale-pool-"));
  t.after(() => rm(folder, { recursive: true, force: true }));
  const file = join(folder, "grey.jpg");
  await writeFile(file, await sharp({ create: GREY }).jpeg().toBuffer());
  const pool = createPicturePool(1, { ready: 1 });
  assert.equal((await pool.run("info", { file })).widthPx, GREY.width);
  const running = assert.rejects(pool.run("tiles", { file, folder: join(folder, "tiles") }), {
    code: "ENDING",
  });
  const waiting = assert.rejects(pool.run("info", { file }), { code: "ENDING" });
  await pool.close();
  await Promise.all([running, waiting]);
  await assert.rejects(pool.run("info", { file }), { code: "ENDING" });
});
