import assert from "node:assert/strict";
import { test } from "node:test";
import { SamescaleError } from "@samescale/errors";
import fc from "fast-check";
import sharp from "sharp";
import { heifExif } from "../../src/decode/heif-exif.ts";
import { infoOfFile } from "../../src/info/info-of-file.ts";
import { pictureFolder } from "../decode/pictures.ts";
import { ascii, exifBlock, long, rational, short, type Value, withExif } from "../decode/tiff-writer.ts";

const write = pictureFolder();
const plain = await sharp({ create: { width: 60, height: 40, channels: 3, background: "#a08070" } })
  .jpeg()
  .toBuffer();
let made = 0;
const infoOf = async (bytes: Uint8Array, name = "jpg") =>
  await infoOfFile({ file: write(`hostile-${made++}.${name}`, bytes) });

const raw = (code: number, count: number, value: number): Value => ({ type: "raw", code, count, value });

test("directories that point at themselves end", async () => {
  const loop = exifBlock({ 271: ascii("Invented"), 34665: long(8), 34853: long(8), 330: long(8) });
  assert.equal((await infoOf(withExif(plain, loop))).make, "Invented");
  const next = Buffer.from(loop);
  const count = next.readUInt16LE(8);
  next.writeUInt32LE(8, 8 + 2 + 12 * count); // the next directory is this one
  assert.equal((await infoOf(withExif(plain, next))).make, "Invented");
});

test("counts beyond all measure cost neither time nor memory, nor the other tags", async () => {
  const before = process.memoryUsage().rss;
  const block = exifBlock(
    { 271: ascii("Invented"), 272: raw(2, 0xffffffff, 8) },
    {
      33437: raw(5, 0xffffffff, 8),
      34855: raw(3, 0x7fffffff, 8),
      36867: ascii("2026:03:15 14:30:00"),
      42036: raw(2, 0x40000000, 0xfffffff0),
    },
  );
  const start = performance.now();
  const info = await infoOf(withExif(plain, block));
  assert.ok(performance.now() - start < 1000);
  assert.ok(process.memoryUsage().rss - before < 100e6);
  assert.deepEqual(
    [info.make, info.model, info.fNumber, info.iso, info.lens, info.takenAt?.iso],
    ["Invented", null, null, null, null, "2026-03-15T14:30:00"],
  );
  assert.match(info.warnings.join("\n"), /fNumber: claims 4294967295 values/);
});

test("one damaged tag does not cost the others", async () => {
  const info = await infoOf(
    withExif(
      plain,
      exifBlock(
        { 271: ascii("Invented"), 272: raw(2, 100, 0x00ffffff) },
        { 33437: rational([16, 1]), 34855: raw(77, 1, 5) },
      ),
    ),
  );
  assert.deepEqual([info.make, info.model, info.fNumber, info.iso], ["Invented", null, 16, null]);
  assert.deepEqual([...info.warnings].sort(), [
    "model: damaged, not read.",
    "photographicSensitivity: damaged, not read.",
  ]);
});

test("texts are cut, cleaned and stay text", async () => {
  const info = await infoOf(
    withExif(
      plain,
      exifBlock(
        { 271: ascii("Inv\u001b[31ment\u0007ed"), 272: ascii("Body\0secret tail") },
        { 42036: ascii(`<script>alert(1)</script>${"x".repeat(3000)}`) },
      ),
    ),
  );
  assert.equal(info.make, "Inv[31mented");
  assert.equal(info.model, "Body");
  assert.equal([...info.lens!].length, 200);
  assert.ok(info.lens!.startsWith("<script>"));
  const said = info.warnings.join("\n");
  assert.match(said, /make: control characters removed/);
  assert.match(said, /lens: cut to 200 of 3025 characters/);
  assert.match(said, /lens: holds markup characters/);
});

test("empty texts, wrong types and nonsense numbers are null", async () => {
  const info = await infoOf(
    withExif(
      plain,
      exifBlock(
        { 271: raw(2, 0, 0), 272: short(7, 8, 9, 10), 274: ascii("top-left") },
        {
          33434: rational([0, 0]),
          33437: ascii("f/5.6 please"),
          34855: short(0),
          37386: rational([1, 0]),
          36867: short(1, 2, 3),
          37385: ascii("maybe"),
        },
      ),
    ),
  );
  const { make, model, orientation, exposureS, fNumber, iso, focalMm, takenAt, flashFired } = info;
  assert.deepEqual(
    { make, model, orientation, exposureS, fNumber, iso, focalMm, takenAt, flashFired },
    {
      make: null,
      model: null,
      orientation: 1,
      exposureS: null,
      fNumber: null,
      iso: null,
      focalMm: null,
      takenAt: null,
      flashFired: null,
    },
  );
  assert.ok(info.warnings.length >= 4);
});

test("boxes of an HEIC file without a length, or with a wrong one, end the search", () => {
  const box = (length: number, name: string) => {
    const head = Buffer.alloc(8);
    head.writeUInt32BE(length, 0);
    head.write(name, 4, "latin1");
    return head;
  };
  const ftyp = Buffer.concat([box(16, "ftyp"), Buffer.from("heic\0\0\0\0", "latin1")]);
  for (const wrong of [0, 1, 2, 7, 9, 0xffffffff]) {
    assert.equal(heifExif(Buffer.concat([ftyp, box(wrong, "free"), Buffer.alloc(64)])), null);
    assert.equal(heifExif(Buffer.concat([ftyp, box(wrong, "meta"), Buffer.alloc(64)])), null);
  }
});

test("any damage to metadata ends in an answer or a SamescaleError, with bounded warnings", async () => {
  const block = exifBlock(
    { 271: ascii("Invented"), 272: ascii("Body One"), 274: short(6) },
    {
      33434: rational([1, 160]),
      33437: rational([16, 1]),
      34855: short(200),
      36867: ascii("2026:03:15 14:30:00"),
      37382: rational([55, 100]),
      37386: rational([100, 1]),
      40962: long(60),
      41486: rational([64851064, 10000]),
      42034: rational([24, 1], [70, 1], [28, 10], [28, 10]),
      42036: ascii("Invented 100 mm macro"),
    },
  );
  await fc.assert(
    fc.asyncProperty(
      fc.array(fc.tuple(fc.nat({ max: block.length - 1 }), fc.integer({ min: 0, max: 255 })), {
        minLength: 1,
        maxLength: 8,
      }),
      async (changes) => {
        const damaged = Buffer.from(block);
        for (const [where, value] of changes) damaged[where] = value;
        try {
          const info = await infoOf(withExif(plain, damaged));
          assert.ok(info.warnings.length <= 40);
          assert.ok(info.warnings.every((said) => said.length < 600));
          assert.ok(JSON.stringify(info).length < 20_000);
        } catch (thrown) {
          assert.ok(thrown instanceof SamescaleError, `${thrown}`);
          assert.notEqual(thrown.code, "INTERNAL");
        }
      },
    ),
    { numRuns: 400, seed: 20261125 },
  );
});
