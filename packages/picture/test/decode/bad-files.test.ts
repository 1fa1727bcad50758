import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import { chmodSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import { crc32 } from "node:zlib";
import { SamescaleError } from "@samescale/errors";
import fc from "fast-check";
import sharp from "sharp";
import { bytesOfFile } from "../../src/decode/bytes-of-file.ts";
import { decodeBytes, decodePicture } from "../../src/decode/decode.ts";
import { drawn, pictureFolder } from "./pictures.ts";
import { syntheticDng } from "./tiff-writer.ts";

const write = pictureFolder();
const textured = sharp(
  drawn(320, 240, (x, y) => [(x * 7 + y * 3) & 255, (x * y) & 255, (x ^ y) & 255]),
  { raw: { width: 320, height: 240, channels: 3 } },
);
const jpeg = await textured.clone().jpeg({ quality: 90 }).toBuffer();

async function assertCode(work: Promise<unknown>, code: string, says: RegExp) {
  await assert.rejects(work, (thrown) => {
    assert.ok(thrown instanceof SamescaleError, String(thrown));
    assert.equal(thrown.code, code);
    assert.match(thrown.message, says);
    assert.ok(thrown.help.length > 10);
    return true;
  });
}

test("files that cannot be read say why", async () => {
  await assertCode(decodePicture("no/such.jpg"), "FILE_MISSING", /no\/such\.jpg/);
  await assertCode(decodePicture(tmpdir()), "FILE_IS_FOLDER", /folder/);
  await assertCode(decodePicture(write("empty.jpg", Buffer.alloc(0))), "FILE_EMPTY", /0 bytes.*empty\.jpg/);
  await assertCode(decodePicture("/dev/null"), "FILE_NOT_REGULAR", /device or a pipe/);
});

test("a pipe is refused at once, not waited for", async () => {
  const folder = mkdtempSync(join(tmpdir(), "samescale-pipe-"));
  try {
    const pipe = join(folder, "pipe.jpg");
    execFileSync("mkfifo", [pipe]);
    await assertCode(bytesOfFile(pipe), "FILE_NOT_REGULAR", /pipe/);
  } finally {
    rmSync(folder, { recursive: true });
  }
});

test("a file that may not be read says so", async (t) => {
  if (process.getuid?.() === 0) return t.skip("root may read everything");
  const file = write("locked.jpg", jpeg);
  chmodSync(file, 0);
  await assertCode(decodePicture(file), "FILE_NOT_PERMITTED", /locked\.jpg/);
});

test("content that is no picture, or one of a kind that is not read", async () => {
  const cases: readonly (readonly [name: string, bytes: Buffer | string, code: string, says: RegExp])[] = [
    ["notes.jpg", "Dear colleague,\nplease find enclosed\n", "PICTURE_FORMAT_UNKNOWN", /it is text/],
    [
      "noise.jpg",
      createHash("sha512").update("noise").digest(),
      "PICTURE_FORMAT_UNKNOWN",
      /unknown first bytes/,
    ],
    ["short.jpg", Buffer.from([0xff]), "PICTURE_FORMAT_UNKNOWN", /unknown first bytes/],
    ["anim.jpg", "GIF89a....", "PICTURE_FORMAT_NOT_READ", /GIF/],
    ["doc.jpg", "%PDF-1.7 ...", "PICTURE_FORMAT_NOT_READ", /PDF/],
    ["drawing.jpg", "<svg xmlns='http://www.w3.org/2000/svg'/>", "PICTURE_FORMAT_UNKNOWN", /text/],
    [
      "film.jpg",
      Buffer.from("\0\0\0\x18ftypmp42\0\0\0\0mp42isom", "latin1"),
      "PICTURE_FORMAT_NOT_READ",
      /video/,
    ],
    ["a.avif", await textured.clone().resize(16).avif().toBuffer(), "PICTURE_FORMAT_NOT_READ", /AVIF/],
  ];
  for (const [name, bytes, code, says] of cases) {
    await assertCode(decodePicture(write(name, Buffer.from(bytes))), code, says);
  }
});

test("a cut-off picture is refused, not measured", async () => {
  for (const share of [0.5, 0.9, 0.98]) {
    const cut = jpeg.subarray(0, Math.floor(jpeg.length * share));
    await assertCode(decodeBytes(cut, "cut.jpg"), "PICTURE_TRUNCATED", /cut\.jpg/);
    await assertCode(decodeBytes(cut, "cut.jpg", { maxSidePx: 100 }), "PICTURE_TRUNCATED", /cut\.jpg/);
  }
  for (const format of ["png", "tiff", "webp"] as const) {
    const whole = await textured.clone()[format]().toBuffer();
    const cut = whole.subarray(0, Math.floor(whole.length * 0.6));
    await assert.rejects(decodeBytes(cut, `cut.${format}`), (thrown) => {
      assert.ok(thrown instanceof SamescaleError);
      assert.match(
        thrown.code,
        /^PICTURE_(TRUNCATED|DAMAGED)$/,
        `${format}: ${thrown.message} ${thrown.cause}`,
      );
      return true;
    });
  }
});

test("a marker in the middle of the data is decoded with a warning, as parts may be blank", async () => {
  for (const marker of [0xd3, 0xd9]) {
    const damaged = Buffer.from(jpeg);
    damaged.set([0xff, marker], Math.floor(damaged.length * 0.6));
    for (const options of [{}, { maxSidePx: 100 }]) {
      const picture = await decodeBytes(damaged, "damaged.jpg", options);
      assert.deepEqual([picture.fullWidthPx, picture.fullHeightPx], [320, 240]);
      assert.match(picture.warnings.join(), /may be blank/);
    }
  }
});

test("stray bytes between the parts of a file are harmless, and said", async () => {
  const tables = jpeg.indexOf(Buffer.from([0xff, 0xdb]), 4);
  const stray = Buffer.concat([jpeg.subarray(0, tables), Buffer.from([1, 2, 3]), jpeg.subarray(tables)]);
  const picture = await decodeBytes(stray, "stray.jpg");
  assert.match(picture.warnings.join(), /damaged in places/);
});

test("a small file that claims an enormous picture is refused before it is decoded", async () => {
  const header = Buffer.alloc(13);
  header.writeUInt32BE(60_000, 0);
  header.writeUInt32BE(60_000, 4);
  header.set([8, 2, 0, 0, 0], 8);
  const chunk = (name: string, data: Buffer) => {
    const out = Buffer.alloc(12 + data.length);
    out.writeUInt32BE(data.length, 0);
    out.write(name, 4, "latin1");
    data.copy(out, 8);
    out.writeUInt32BE(crc32(out.subarray(4, 8 + data.length)), 8 + data.length);
    return out;
  };
  const bomb = Buffer.concat([
    Buffer.from("89504e470d0a1a0a", "hex"),
    chunk("IHDR", header),
    chunk("IDAT", Buffer.alloc(64)),
    chunk("IEND", Buffer.alloc(0)),
  ]);
  await assertCode(decodeBytes(bomb, "bomb.png"), "PICTURE_TOO_LARGE", /bomb\.png/);
});

test("a RAW file without usable data or preview says so", async () => {
  const dng = syntheticDng(300, 200);
  await assertCode(decodeBytes(dng.subarray(0, 600), "cut.dng"), "RAW_NOT_READ", /cut\.dng/);
});

test("names with brackets, spaces, newlines, a leading dash, and bytes that are not UTF-8 are read", async () => {
  for (const name of ["wound[1].jpg", "left leg.jpg", "two\nlines.jpg", "-n.jpg", "[page=3].jpg", "ü.jpg"]) {
    assert.equal((await decodePicture(write(name, jpeg))).widthPx, 320, name);
  }
  const folder = mkdtempSync(join(tmpdir(), "samescale-names-"));
  try {
    const raw = (name: string) => Buffer.concat([Buffer.from(`${folder}/`), Buffer.from(name, "latin1")]);
    writeFileSync(raw("fu\xdf.jpg"), jpeg);
    const asNodeSeesIt = raw("fu\xdf.jpg").toString("utf8");
    assert.ok(asNodeSeesIt.includes("\ufffd"));
    assert.equal((await decodePicture(asNodeSeesIt)).widthPx, 320);
    writeFileSync(raw("fu\xe4.jpg"), jpeg);
    await assertCode(decodePicture(asNodeSeesIt), "FILE_NAME_NOT_UTF8", /more than one file/);
    await assertCode(decodePicture(`${folder}/x\ufffd.jpg`), "FILE_NAME_NOT_UTF8", /no file/);
  } finally {
    rmSync(folder, { recursive: true });
  }
});

test("any damage to a file ends in a picture or a SamescaleError that is no fault of ours", async () => {
  const sources = [
    jpeg,
    await textured.clone().resize(40).png().toBuffer(),
    await textured.clone().resize(40).tiff({ compression: "lzw" }).toBuffer(),
    syntheticDng(40, 30),
  ];
  await fc.assert(
    fc.asyncProperty(
      fc.constantFrom(...sources),
      fc.array(fc.tuple(fc.double({ min: 0, max: 1, noNaN: true }), fc.integer({ min: 0, max: 255 })), {
        minLength: 1,
        maxLength: 12,
      }),
      async (source, changes) => {
        const bytes = Buffer.from(source);
        // Squared, so that most changes fall into the header.
        for (const [where, value] of changes) bytes[Math.floor(where ** 2 * (bytes.length - 1))] = value;
        try {
          await decodeBytes(bytes, "fuzzed");
        } catch (thrown) {
          assert.ok(thrown instanceof SamescaleError, `${thrown}`);
          assert.notEqual(thrown.code, "INTERNAL");
        }
      },
    ),
    { numRuns: 150, seed: 20261125 },
  );
});
