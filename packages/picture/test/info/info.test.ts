import assert from "node:assert/strict";
import { createHash } from "node:crypto";
import { test } from "node:test";
import sharp from "sharp";
import { infoOfFile } from "../../src/info/info-of-file.ts";
import { pictureFolder } from "../decode/pictures.ts";
import { ascii, type Entries, exifBlock, rational, short, withExif } from "../decode/tiff-writer.ts";

const write = pictureFolder();
const plain = await sharp({ create: { width: 60, height: 40, channels: 3, background: "#a08070" } })
  .jpeg()
  .toBuffer();
let made = 0;
const infoWith = async (exif: Entries, ifd0: Entries = {}) =>
  await infoOfFile({ file: write(`made-${made++}.jpg`, withExif(plain, exifBlock(ifd0, exif))) });

const DATE = 0x9003;
const OFFSET = 0x9011;

test("a file without metadata has nulls, not guesses", async () => {
  const file = write("plain.jpg", plain);
  assert.deepEqual(await infoOfFile({ file }), {
    file,
    format: "jpeg",
    widthPx: 60,
    heightPx: 40,
    orientation: 1,
    takenAt: null,
    make: null,
    model: null,
    lens: null,
    focalMm: null,
    fNumber: null,
    exposureS: null,
    iso: null,
    flashFired: null,
    subjectDistanceMm: null,
    sensorWidthMm: null,
    frame: { changed: null, writtenAgain: "the file keeps nothing that a camera wrote", notesMissing: false },
    sha256: createHash("sha256").update(plain).digest("hex"),
    bytes: plain.length,
    warnings: [],
  });
});

test("the time is local, with an offset only where the file states one", async () => {
  const at = async (exif: Entries) => (await infoWith(exif)).takenAt;
  const raw = "2026:03:15 14:30:00";
  assert.deepEqual(await at({ [DATE]: ascii(raw) }), { raw, iso: "2026-03-15T14:30:00", zone: "not stated" });
  assert.deepEqual(await at({ [DATE]: ascii(raw), [OFFSET]: ascii("+01:00") }), {
    raw,
    iso: "2026-03-15T14:30:00+01:00",
    zone: "+01:00",
  });
  assert.deepEqual(await at({ [DATE]: ascii(raw), [OFFSET]: ascii("   :  "), 37521: ascii("07") }), {
    raw,
    iso: "2026-03-15T14:30:00.07",
    zone: "not stated",
  });
  // 0x9010 belongs to the time of the last change, not to this one.
  assert.equal((await at({ [DATE]: ascii(raw), 36880: ascii("+05:00") }))?.zone, "not stated");
  assert.equal(await at({ [DATE]: ascii("    :  :     :  :  ") }), null);
});

test("what is not a time of the calendar stays as it was written", async () => {
  for (const raw of [
    "2026:02:30 10:00:00",
    "0000:00:00 00:00:00",
    "2026:03:15 24:00:00",
    "yesterday",
    "2026:3:5",
  ]) {
    const info = await infoWith({ [DATE]: ascii(raw) });
    assert.deepEqual(info.takenAt, { raw, iso: null, zone: "not stated" });
    assert.match(info.warnings.join(), /not a time of the calendar/);
  }
  const odd = await infoWith({ [DATE]: ascii("2026:03:15 14:30:00"), [OFFSET]: ascii("CET") });
  assert.deepEqual([odd.takenAt?.zone, odd.warnings.length], ["not stated", 1]);
});

test("the settings of an exposure", async () => {
  const info = await infoWith(
    {
      33434: rational([1, 160]),
      33437: rational([160, 10]),
      34855: short(200),
      37382: rational([55, 100]),
      37385: short(0x0f),
      37386: rational([100, 1]),
      42036: ascii("Invented 100 mm macro"),
    },
    { 271: ascii("Invented"), 272: ascii("Body One ") },
  );
  const { make, model, lens, exposureS, fNumber, iso, subjectDistanceMm, flashFired, focalMm, warnings } =
    info;
  assert.deepEqual(
    { make, model, lens, exposureS, fNumber, iso, subjectDistanceMm, flashFired, focalMm, warnings },
    {
      make: "Invented",
      model: "Body One",
      lens: "Invented 100 mm macro",
      exposureS: 1 / 160,
      fNumber: 16,
      iso: 200,
      subjectDistanceMm: 550,
      flashFired: true,
      focalMm: 100,
      warnings: [],
    },
  );
});

test("the lens by its specification where it has no name", async () => {
  const lens = async (...four: (readonly [number, number])[]) =>
    (await infoWith({ 42034: rational(...four) })).lens;
  assert.equal(await lens([24, 1], [70, 1], [28, 10], [28, 10]), "24-70 mm f/2.8");
  assert.equal(await lens([105, 1], [105, 1], [0, 0], [0, 0]), "105 mm");
  assert.equal(await lens([0, 0], [0, 0], [0, 0], [0, 0]), null);
});

test("unknown and infinite distances are null", async () => {
  for (const ratio of [
    [0, 1],
    [0, 0],
    [0xffffffff, 1],
    [0xffffffff, 1000],
    [5, 0],
  ] as const) {
    const info = await infoWith({ 37382: rational(ratio) });
    assert.deepEqual([info.subjectDistanceMm, info.warnings], [null, []], String(ratio));
  }
});

test("whether the flash fired is bit 0 of a value that the tag can have", async () => {
  // Published: Flash, bit 0 fired (exif-tags.csv).
  for (const [value, fired] of [
    [0x00, false],
    [0x01, true],
    [0x10, false],
    [0x18, false],
    [0x19, true],
    [0x5f, true],
  ] as const) {
    assert.equal((await infoWith({ 37385: short(value) })).flashFired, fired, String(value));
  }
  const odd = await infoWith({ 37385: short(9969) });
  assert.deepEqual([odd.flashFired, odd.warnings.length], [null, 1]);
});

test("a sensitivity of 65535 means: look at the newer tags", async () => {
  assert.equal(
    (await infoWith({ 34855: short(65535), 34866: { type: "long", values: [102400] } })).iso,
    102400,
  );
  const missing = await infoWith({ 34855: short(65535) });
  assert.deepEqual([missing.iso, missing.warnings.length], [null, 1]);
});

test("a cut-off JPEG is described with a warning", async () => {
  const info = await infoOfFile({ file: write("cut.jpg", plain.subarray(0, plain.length - 20)) });
  assert.equal(info.widthPx, 60);
  assert.match(info.warnings.join(), /ends before the picture does/);
});

test("an XMP packet's time is used where the camera's is gone, and said to be a program's", async () => {
  const packet =
    '<x:xmpmeta><rdf:Description exif:DateTimeOriginal="2026-03-15T14:30:00+02:00"/></x:xmpmeta>';
  const body = Buffer.concat([Buffer.from("http://ns.adobe.com/xap/1.0/\0", "latin1"), Buffer.from(packet)]);
  const head = Buffer.from([0xff, 0xe1, 0, 0]);
  head.writeUInt16BE(body.length + 2, 2);
  const bytes = Buffer.concat([plain.subarray(0, 2), head, body, plain.subarray(2)]);
  const info = await infoOfFile({ file: write("xmp.jpg", bytes) });
  assert.deepEqual(info.takenAt, {
    raw: "2026-03-15T14:30:00+02:00",
    iso: "2026-03-15T14:30:00+02:00",
    zone: "+02:00",
  });
  assert.match(info.warnings.join(), /a program wrote/);
});
