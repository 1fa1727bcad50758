import assert from "node:assert/strict";
import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { deflateSync } from "node:zlib";
import bwip from "bwip-js/node";
import { arrivalOfFile } from "../../src/arrival/arrival-of-file.ts";
import { sharp } from "../../src/decode/sharp.ts";
import { infoOfFile } from "../../src/info/info-of-file.ts";
import { labelsOfFile } from "../../src/label/labels-of-file.ts";

let folder: string;
before(async () => {
  folder = await mkdtemp(join(tmpdir(), "samescale-arrival-"));
});
after(() => rm(folder, { recursive: true, force: true }));

async function kept(name: string, bytes: Uint8Array): Promise<string> {
  const file = join(folder, name);
  await writeFile(file, bytes);
  return file;
}

/** Skin with a red top left corner, turned by the camera's orientation, with metadata that must not travel. */
async function photograph(orientation: number): Promise<Buffer> {
  const red = { create: { width: 300, height: 200, channels: 3 as const, background: "#f00000" } };
  const picture = sharp({ create: { width: 2400, height: 1600, channels: 3, background: "#c9a08a" } })
    .composite([{ input: await sharp(red).png().toBuffer(), left: 0, top: 0 }])
    .withExif({ IFD0: { Artist: "Mara Secret", ImageDescription: "HN10001" } });
  return await picture.withMetadata({ orientation }).jpeg({ quality: 95 }).toBuffer();
}

test("small pictures are upright, of the size they say, sRGB and without a word of the original's metadata", async () => {
  const file = await kept("turned.jpg", await photograph(6));
  assert.ok((await readFile(file)).includes("Secret"));
  const { pictures, faults } = await arrivalOfFile({ file });
  assert.deepEqual(faults, []);
  const [thumbnail, preview] = pictures;
  assert.deepEqual(
    [thumbnail?.use, thumbnail?.widthPx, thumbnail?.heightPx, preview?.use],
    ["thumbnail", 320, 480, "preview"],
  );
  assert.ok(preview!.heightPx <= 2000 && preview!.heightPx >= 1900 && preview!.widthPx < preview!.heightPx);
  for (const { jpeg, widthPx, heightPx } of pictures) {
    const found = await sharp(jpeg).metadata();
    assert.deepEqual(
      [found.format, found.width, found.height, found.space],
      ["jpeg", widthPx, heightPx, "srgb"],
    );
    assert.deepEqual(
      [found.exif, found.icc, found.xmp, found.iptc, found.orientation],
      Array(5).fill(undefined),
    );
    assert.ok(!Buffer.from(jpeg).includes("Secret"));
  }
  // Orientation 6: what is stored at the top left lies at the top right of the upright picture.
  const { data, info } = await sharp(thumbnail!.jpeg).raw().toBuffer({ resolveWithObject: true });
  const redAt = (x: number, y: number) =>
    data[(y * info.width + x) * 3]! > 200 && data[(y * info.width + x) * 3 + 1]! < 60;
  assert.deepEqual([redAt(info.width - 8, 8), redAt(8, 8)], [true, false]);
});

test("one decoding says the same as metadata and labels asked for by themselves", async () => {
  const code = await bwip.toBuffer({ bcid: "qrcode", text: "SR1:R-1:HN10001", scale: 8, padding: 8 });
  const label = sharp({ create: { width: 2400, height: 1600, channels: 3, background: "#c9a08a" } });
  const bytes = await label
    .composite([{ input: code, left: 900, top: 500 }])
    .jpeg()
    .toBuffer();
  const file = await kept("label.jpg", bytes);
  const answer = await arrivalOfFile({ file });
  assert.deepEqual(answer.info, await infoOfFile({ file }));
  const { codes, warnings } = await labelsOfFile({ file });
  assert.deepEqual([answer.codes, answer.labelWarnings], [codes, warnings]);
  assert.deepEqual(
    codes.map(({ text }) => text),
    ["SR1:R-1:HN10001"],
  );
});

/** A PNG whose header claims a size; its data are almost nothing, as nothing decodes to much. */
function claiming(widthPx: number, heightPx: number): Buffer {
  const chunk = (type: string, data: Buffer) => {
    const body = Buffer.concat([Buffer.from(type), data]);
    const [length, crc] = [Buffer.alloc(4), Buffer.alloc(4)];
    length.writeUInt32BE(data.length);
    crc.writeUInt32BE(crc32(body));
    return Buffer.concat([length, body, crc]);
  };
  const header = Buffer.alloc(13);
  header.writeUInt32BE(widthPx, 0);
  header.writeUInt32BE(heightPx, 4);
  header.set([8, 2, 0, 0, 0], 8);
  const data = deflateSync(Buffer.alloc(1 << 20));
  const start = Buffer.from("89504e470d0a1a0a", "hex");
  return Buffer.concat([start, chunk("IHDR", header), chunk("IDAT", data), chunk("IEND", Buffer.alloc(0))]);
}

function crc32(bytes: Buffer): number {
  let crc = 0xffffffff;
  for (const byte of bytes) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit++) crc = (crc >>> 1) ^ (crc & 1 ? 0xedb88320 : 0);
  }
  return (crc ^ 0xffffffff) >>> 0;
}

test("a picture made to fill memory, a cut-off one and noise after a JPEG's mark give no small picture, and are told", async () => {
  const whole = await photograph(1);
  const hostile: readonly (readonly [string, Buffer, RegExp])[] = [
    ["bomb.png", claiming(60_000, 60_000), /PICTURE_TOO_LARGE/],
    ["cut.jpg", whole.subarray(0, Math.floor(whole.length / 3)), /PICTURE_TRUNCATED/],
    [
      "noise.jpg",
      Buffer.concat([Buffer.from("ffd8ffe1", "hex"), Buffer.alloc(5000, 7)]),
      /PICTURE_DAMAGED|TRUNCATED/,
    ],
    ["text.jpg", Buffer.from("not a picture at all"), /PICTURE_FORMAT_UNKNOWN/],
  ];
  for (const [name, bytes, code] of hostile) {
    const began = process.memoryUsage().rss;
    const { pictures, codes, faults } = await arrivalOfFile({ file: await kept(name, bytes) });
    assert.deepEqual([pictures, codes], [[], null], name);
    assert.match(faults.map((fault) => fault.code).join(), code, name);
    const grownMb = (process.memoryUsage().rss - began) / 1e6;
    assert.ok(grownMb < 300, `${name} took ${grownMb.toFixed(0)} MB`);
  }
});

test("what hides behind a picture's end or in its metadata does not come into the small ones", async () => {
  const hidden = Buffer.from("PK\u0003\u0004 hidden archive <script>alert(1)</script>");
  const file = await kept("polyglot.jpg", Buffer.concat([await photograph(1), hidden]));
  const { pictures } = await arrivalOfFile({ file });
  assert.equal(pictures.length, 2);
  for (const { jpeg } of pictures) {
    const bytes = Buffer.from(jpeg);
    assert.ok(!bytes.includes("hidden") && !bytes.includes("script"));
    assert.equal(bytes.toString("hex", bytes.length - 2), "ffd9");
  }
});

test("a small picture is not enlarged", async () => {
  const tiny = await sharp({ create: { width: 60, height: 40, channels: 3, background: "#804020" } })
    .png()
    .toBuffer();
  const { pictures } = await arrivalOfFile({ file: await kept("tiny.png", tiny) });
  assert.deepEqual(
    pictures.map(({ widthPx, heightPx }) => [widthPx, heightPx]),
    [
      [60, 40],
      [60, 40],
    ],
  );
});
