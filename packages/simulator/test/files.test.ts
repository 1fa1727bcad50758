import assert from "node:assert/strict";
import { mkdtemp, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import sharp from "sharp";
import { encodePicture, standardCamera, writePicture } from "../src/index.ts";
import { take } from "./support.ts";

let folder: string;
before(async () => {
  folder = await mkdtemp(join(tmpdir(), "samescale-simulator-"));
});
after(() => rm(folder, { recursive: true, force: true }));

const SMALL = { widthPx: 96, heightPx: 64 };
const scale = {
  kind: "straight-scale",
  placement: { xMm: 0, yMm: 0, rotateDeg: 9 },
  lengthMm: 60,
  edges: ["mm"],
} as const;

/** A plain reader of EXIF directories: tag -> values, the Exif directory's tags among the first one's. */
function tagsOf(exif: Buffer): Map<number, string | number> {
  const tiff = exif.subarray(exif.indexOf("Exif\0\0") === 0 ? 6 : 0);
  const little = tiff.toString("latin1", 0, 2) === "II";
  const u16 = (at: number): number => (little ? tiff.readUInt16LE(at) : tiff.readUInt16BE(at));
  const u32 = (at: number): number => (little ? tiff.readUInt32LE(at) : tiff.readUInt32BE(at));
  const tags = new Map<number, string | number>();
  const read = (directory: number): void => {
    for (let i = 0; i < u16(directory); i++) {
      const at = directory + 2 + i * 12;
      const [tag, type, count] = [u16(at), u16(at + 2), u32(at + 4)];
      const place = count * ([0, 1, 1, 2, 4, 8][type] ?? 1) > 4 ? u32(at + 8) : at + 8;
      if (tag === 0x8769) read(u32(at + 8));
      else if (type === 2) tags.set(tag, tiff.toString("latin1", place, place + count - 1));
      else if (type === 3) tags.set(tag, u16(place));
      else if (type === 4) tags.set(tag, u32(place));
      else if (type === 5) tags.set(tag, u32(place) / u32(place + 4));
    }
  };
  read(u32(4));
  return tags;
}

test("the file says what the camera was", async () => {
  const camera = standardCamera({
    ...SMALL,
    fNumber: 11,
    iso: 400,
    focalMm: 60,
    exposureS: 1 / 125,
    takenAt: "2026:04:13 09:02:34",
    orientation: 6,
  });
  const picture = await take({ things: [scale] }, camera);
  const path = join(folder, "said.jpg");
  await writePicture(path, picture, camera, { truth: true });
  const { exif, width, height } = await sharp(path).metadata();
  assert.deepEqual([width, height], [64, 96], "stored lying on its side");
  const tags = tagsOf(exif!);
  assert.equal(tags.get(0x010f), "Virtual");
  assert.equal(tags.get(0x0112), 6);
  assert.equal(tags.get(0x9003), "2026:04:13 09:02:34");
  assert.equal(tags.get(0x829d), 11);
  assert.equal(tags.get(0x8827), 400);
  assert.equal(tags.get(0x920a), 60);
  assert.equal(tags.get(0x829a), 0.008);
  assert.equal(tags.get(0xa434), "Virtual 100 mm close-up");
  // Sensor width from the focal plane resolution: 96 px on 36 mm.
  assert.ok(Math.abs((96 * 25.4) / (tags.get(0xa20e) as number) - 36) < 0.001);
  const truth = JSON.parse(await readFile(`${path}.truth.json`, "utf8")) as {
    camera: { magnification: number };
  };
  assert.equal(truth.camera.magnification, 0.25);
  assert.deepEqual(
    (await readdir(folder)).filter((name) => name.endsWith(".part")),
    [],
  );
});

test("whatever the orientation, a reader who obeys it sees the same upright pixels", async () => {
  const picture = await take({ things: [scale] }, SMALL);
  for (let orientation = 1; orientation <= 8; orientation++) {
    const camera = standardCamera({ ...SMALL, orientation });
    const file = await encodePicture(picture, camera, "png");
    const upright = await sharp(file).autoOrient().removeAlpha().raw().toBuffer();
    assert.ok(upright.equals(Buffer.from(picture.rgb)), `orientation ${orientation}`);
  }
});

test("TIFF and JPEG come out too, by the file's name", async () => {
  const picture = await take({}, SMALL);
  for (const [name, format] of [
    ["a.tif", "tiff"],
    ["b.JPG", "jpeg"],
    ["c.png", "png"],
  ] as const) {
    await writePicture(join(folder, name), picture, standardCamera(SMALL));
    assert.equal((await sharp(join(folder, name)).metadata()).format, format);
  }
});

test("a picture that cannot be written leaves nothing and says where", async () => {
  await writeFile(join(folder, "taken"), "");
  const picture = await take({}, SMALL);
  await assert.rejects(writePicture(join(folder, "taken", "x.jpg"), picture, standardCamera(SMALL)), {
    code: "FILE_MISSING",
  });
});
