import assert from "node:assert/strict";
import { existsSync, globSync, readFileSync } from "node:fs";
import { basename, resolve } from "node:path";
import { test } from "node:test";
import sharp from "sharp";
import { HEAD_BYTES, recognise } from "../../src/intake/recognise.ts";
import { endsWhole } from "../../src/watch/ends-whole.ts";
import { raw } from "./watched.ts";

async function isWhole(bytes: Buffer, name: string): Promise<boolean> {
  const found = recognise(bytes.subarray(0, HEAD_BYTES), name);
  assert.ok(found.kind === "picture", name);
  const read = async (at: number, length: number) => bytes.subarray(at, at + length);
  return await endsWhole(found.format, read, bytes.length);
}

const picture = sharp({
  create: {
    width: 300,
    height: 200,
    channels: 3,
    background: "#a87",
    noise: { type: "gaussian", mean: 120, sigma: 30 },
  },
});

test("files of a general library end whole, and not when they are cut anywhere", async () => {
  const files = {
    "a.jpg": await picture.clone().jpeg({ progressive: true }).toBuffer(),
    "a.png": await picture.clone().png().toBuffer(),
    "a.webp": await picture.clone().webp().toBuffer(),
    "a.gif": await picture.clone().gif().toBuffer(),
    "a.avif": await picture.clone().avif({ effort: 0 }).toBuffer(),
    "strips.tif": await picture.clone().tiff({ compression: "none" }).toBuffer(),
    "tiles.tif": await picture.clone().tiff({ tile: true, pyramid: true, compression: "deflate" }).toBuffer(),
    "a.nef": raw("sensor values"),
  };
  for (const [name, bytes] of Object.entries(files)) {
    assert.equal(await isWhole(bytes, name), true, name);
    for (const part of [0.2, 0.5, 0.9, 0.99, 1 - 1 / bytes.length]) {
      const cut = bytes.subarray(0, Math.max(64, Math.floor(bytes.length * part)));
      assert.equal(await isWhole(cut, name), false, `${name} cut to ${part}`);
      if (name.endsWith(".jpg") || name.endsWith(".png")) {
        const allocated = Buffer.concat([cut, Buffer.alloc(bytes.length - cut.length)]);
        assert.equal(await isWhole(allocated, name), false, `${name}: the rest of ${part} is zeros`);
      }
    }
  }
});

test("zeros behind a JPEG's end are its sector's; other things behind it are not known", async () => {
  const jpeg = await picture.clone().jpeg().toBuffer();
  assert.equal(await isWhole(Buffer.concat([jpeg, Buffer.alloc(512)]), "a.jpg"), true);
  assert.equal(await isWhole(Buffer.concat([jpeg, Buffer.from("more")]), "a.jpg"), false);
});

test("directories that lead in a circle, out of the file or on without end are an end that is not known", async () => {
  const circle = raw("x");
  circle.writeUInt32LE(8, 34);
  assert.equal(await isWhole(circle, "a.nef"), true); // the second time round is not gone
  const outside = raw("x");
  outside.writeUInt32LE(5_000_000, 34);
  assert.equal(await isWhole(outside, "a.nef"), false);
  for (const [at, value] of [
    [4, 0xffffffff],
    [10, 0xffffffff],
    [18, 0xffffffff],
    [26, 0xffffffff],
    [30, 0xffffffff],
  ] as const) {
    const bad = raw("x");
    bad.writeUInt32LE(value, at);
    assert.equal(await isWhole(bad, "a.nef"), false, `${value} at ${at}`);
  }
});

test("real cameras' files end whole, those cut short do not", async (t) => {
  const shared = resolve(import.meta.dirname, "../../../../../shared/data");
  if (!existsSync(shared)) return t.skip("the shared pictures are not here");
  const files = globSync(`${shared}/**/*.{jpg,JPG,jpeg,png,tif,TIF,dng,DNG,nef,NEF,cr2,CR2,arw,ARW}`).sort();
  const some = files.filter((_, i) => i % Math.ceil(files.length / 60) === 0);
  const not: string[] = [];
  for (const file of some) {
    const bytes = readFileSync(file);
    if (recognise(bytes.subarray(0, HEAD_BYTES), file).kind !== "picture") continue;
    if (!(await isWhole(bytes, file))) not.push(basename(file));
    else assert.equal(await isWhole(bytes.subarray(0, bytes.length * 0.7), file), false, file);
  }
  t.diagnostic(`${some.length - not.length} of ${some.length} end whole; not: ${not.join(", ")}`);
  assert.ok(not.length <= some.length * 0.05, not.join());
});
