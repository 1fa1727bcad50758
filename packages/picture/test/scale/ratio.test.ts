import assert from "node:assert/strict";
import { existsSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";
import { fileURLToPath } from "node:url";
import sharp from "sharp";
import { infoOfFile } from "../../src/info/info-of-file.ts";
import { distanceDoubt } from "../../src/scale/distance-check.ts";
import { scaleOfFile } from "../../src/scale/scale-of-file.ts";
import { type StatedSensor, sensorPitch } from "../../src/scale/sensor-pitch.ts";
import { pictureFolder } from "../decode/pictures.ts";
import { ascii, type Entries, exifBlock, long, rational, short, withExif } from "../decode/tiff-writer.ts";

const write = pictureFolder();
let made = 0;

const TAKEN = "2026:03:15 14:30:00";
const makerNote = { type: "undefined", bytes: [1, 2, 3, 4, 5] } as const;
/** What a camera with a 36 x 24 mm sensor writes into a picture of 600 x 400 px. */
const CAMERA: Entries = {
  36867: ascii(TAKEN),
  37386: rational([100, 1]),
  37500: makerNote,
  40962: long(600),
  40963: long(400),
  41486: rational([600 * 254, 36 * 10]),
  41488: short(2),
};
const IFD0: Entries = { 271: ascii("Invented"), 306: ascii(TAKEN) };

/** Pitch of a flat picture with an EXIF block; absent keys are taken out of the camera's. */
async function pitchOf(
  exif: Readonly<Record<number, Entries[number] | null>>,
  stated: StatedSensor = {},
  [widthPx, heightPx]: readonly [number, number] = [600, 400],
  ifd0: Entries = IFD0,
) {
  const entries = Object.fromEntries(
    Object.entries({ ...CAMERA, ...exif }).filter((e): e is [string, Entries[number]] => e[1] !== null),
  );
  const plain = await sharp({
    create: { width: widthPx, height: heightPx, channels: 3, background: "#a08070" },
  })
    .jpeg()
    .toBuffer();
  const file = write(`made-${made++}.jpg`, withExif(plain, exifBlock(ifd0, entries)));
  const info = await infoOfFile({ file });
  return sensorPitch(stated, info, info);
}

const NO_FOCAL_PLANE = { 41486: null };
const EQUIVALENT = { ...NO_FOCAL_PLANE, 41989: short(100) };

test("an untouched file: the sensor's width over the pixels across it, turned or not", async () => {
  const lying = await pitchOf({});
  assert.ok(lying.pixelMm !== null && lying.doubt === null);
  assert.ok(Math.abs(lying.pixelMm - 36 / 600) < 1e-6); // the file's width is rounded to a micrometre
  const turned = await pitchOf({}, {}, [600, 400], { ...IFD0, 274: short(6) });
  assert.ok(turned.pixelMm !== null);
  assert.ok(Math.abs(turned.pixelMm - 36 / 600) < 1e-6);
});

test("fewer pixels than the camera wrote, of its shape or another: no ratio, and both sizes are named", async () => {
  for (const size of [
    [300, 200],
    [599, 399],
    [400, 400],
    [600, 300],
  ] as const) {
    for (const stated of [{}, { sensorWidthMm: 36 }, { usualSensorMm: { widthMm: 36, heightMm: 24 } }]) {
      const pitch = await pitchOf({}, stated, size);
      assert.equal(pitch.pixelMm, null);
      assert.match(
        pitch.from,
        /The picture is \d+ x \d+ px, the camera wrote 600 x 400: it was cropped or resized/,
      );
    }
  }
  const copied = await pitchOf({ 40962: null, 40963: null }, {}, [600, 400], {
    ...IFD0,
    256: long(6000),
    257: long(4000),
  });
  assert.equal(copied.pixelMm, null);
  assert.match(copied.from, /the camera wrote 6000 x 4000/);
  assert.equal((await pitchOf({ 41988: rational([2, 1]) }, { sensorWidthMm: 36 })).pixelMm, null);
});

test("an editor that wrote its own pixel count but left the sensor's resolution is seen by the width that follows", async () => {
  const edited = { ...IFD0, 306: ascii("2026:03:16 09:00:00") };
  // 200 of 600 px: a width of 12 mm, which no sensor has.
  const cut = await pitchOf({ 40962: long(200), 40963: long(133) }, {}, [200, 133], edited);
  assert.equal(cut.pixelMm, null);
  assert.match(cut.from, /written again .*12\.0 mm .* no sensor's usual size/);
  // With only the maker's notes gone it may be an unusual sensor: a ratio, with a doubt.
  const bare = await pitchOf({ 37500: null, 40962: long(200), 40963: long(133) }, {}, [200, 133]);
  assert.ok(bare.pixelMm !== null && bare.doubt?.includes("maker's own notes"));
  const usual = await pitchOf({ 37500: null });
  assert.ok(usual.pixelMm !== null && usual.doubt === null);
  // Written again but whole: 36 mm across and 3 to 2 is a sensor.
  assert.ok((await pitchOf({}, {}, [600, 400], edited)).pixelMm !== null);
  assert.equal((await pitchOf({ 40962: long(600), 40963: long(300) }, {}, [600, 300], edited)).pixelMm, null);
});

test("the 35 mm equivalent is weak: said so, with an interval of its rounding, and nothing after editing", async () => {
  const pitch = await pitchOf(EQUIVALENT);
  assert.ok(pitch.pixelMm !== null && pitch.doubt === null);
  assert.ok(Math.abs((pitch.pixelMm * 600) / 36 - 1) <= pitch.u95);
  assert.match(pitch.from, /roughly.*35 mm equivalent/);
  const edited = await pitchOf(EQUIVALENT, {}, [600, 400], { ...IFD0, 306: ascii("2026:03:16 09:00:00") });
  assert.equal(edited.pixelMm, null);
  assert.match(edited.from, /written again .*do not show whether it was cropped/);
  const wide = await pitchOf({ ...EQUIVALENT, 40963: long(250) }, {}, [600, 250]);
  assert.equal(wide.pixelMm, null);
});

test("the department's sensor serves a camera that does not say its own, and no other", async () => {
  const usual = { usualSensorMm: { widthMm: 36, heightMm: 24 } };
  const own = await pitchOf(NO_FOCAL_PLANE, usual);
  assert.ok(own.pixelMm !== null && Math.abs(own.pixelMm - 0.06) < 1e-9);
  const agreeing = await pitchOf(EQUIVALENT, usual);
  assert.match(agreeing.from, /department's/);
  // 100 mm counts as 150 mm: 24 mm across.
  const other = await pitchOf({ ...NO_FOCAL_PLANE, 41989: short(150) }, usual);
  assert.match(other.from, /roughly/);
  const edited = await pitchOf(NO_FOCAL_PLANE, usual, [600, 400], {
    ...IFD0,
    306: ascii("2026:03:16 09:00:00"),
  });
  assert.ok(edited.pixelMm !== null);
  assert.match(edited.doubt ?? "", /holds only if the picture was not cropped/);
  const square = await pitchOf({ ...NO_FOCAL_PLANE, 40962: long(400) }, usual, [400, 400]);
  assert.equal(square.pixelMm, null);
  const nothing = await pitchOf({ ...NO_FOCAL_PLANE, 37386: null }, usual, [600, 400], {});
  assert.equal(nothing.pixelMm, null);
  assert.match(nothing.from, /nothing that a camera wrote/);
});

test("a width that a person states is taken, unless no sensor so wide has the picture's shape", async () => {
  const said = await pitchOf(NO_FOCAL_PLANE, { sensorWidthMm: 23.5 });
  assert.ok(said.pixelMm !== null && Math.abs(said.pixelMm - 23.5 / 600) < 1e-9);
  const cut = await pitchOf({ ...NO_FOCAL_PLANE, 40963: long(300) }, { sensorWidthMm: 23.5 }, [600, 300]);
  assert.equal(cut.pixelMm, null);
  assert.match(cut.from, /2\.00 to 1, as no sensor 23\.5 mm wide is/);
  // No format in the table is 30 mm wide: nothing speaks against it.
  assert.ok((await pitchOf(NO_FOCAL_PLANE, { sensorWidthMm: 30 })).pixelMm !== null);
});

test("a ratio beside the camera's distance: a unit taken wrong is doubted in words, coarse distances are not", () => {
  // m = f/(u - f): 100 mm at 1.1 m from the lens is 1:10 (tables of the trade); from the sensor 1:8.9.
  const noted = { focalMm: 100, subjectDistanceMm: 1100 };
  for (const ratio of [1 / 10, 1 / 8.9, 1 / 15, 1 / 6]) assert.equal(distanceDoubt(noted, ratio), null);
  assert.match(distanceDoubt(noted, 0.254) ?? "", /1\.10 m at 100 mm.*1:8\.\d.*1:3\.94.*tenths of an inch/);
  assert.match(distanceDoubt(noted, 0.05) ?? "", /half millimetres/);
  assert.match(distanceDoubt(noted, 1) ?? "", /gives 1:1\. Compare/);
  // Life size: four focal lengths from the sensor, two from the lens; below that the distance says nothing new.
  assert.equal(distanceDoubt({ focalMm: 100, subjectDistanceMm: 400 }, 1), null);
  assert.equal(distanceDoubt({ focalMm: 100, subjectDistanceMm: 90 }, 1), null);
  assert.equal(distanceDoubt({ focalMm: 100, subjectDistanceMm: null }, 1), null);
});

const DATA = fileURLToPath(new URL("../../../../../shared/data", import.meta.url));
const here = existsSync(join(DATA, "rulers", "truth.json"));
const skip = here ? false : "the labelled photographs (../shared/data) are not here";

test("real photographs: a frame reduced since has no ratio, a whole one has", { skip }, async () => {
  const answer = async (name: string) => {
    const read = await scaleOfFile({ file: join(DATA, "rulers", name) });
    assert.ok(read.found, name);
    return read;
  };
  for (const [name, wrote] of [
    ["butterfly-exif-rot90.jpg", "5184 x 3456"],
    ["inhs-fish-dark.jpg", "6016 x 4016"],
  ] as const) {
    const { reproductionRatio, ratioFrom } = await answer(name);
    assert.equal(reproductionRatio, null);
    assert.match(ratioFrom ?? "", new RegExp(`the camera wrote ${wrote}`));
  }
  // Written again by a developer of RAW files, but 36 mm across with 3:2 sides.
  const whole = await answer("jfbm-48705.jpg");
  assert.match(whole.ratioFrom ?? "", /focal plane/);
  assert.ok(
    Math.abs(whole.reproductionRatio!.value / ((whole.scales[0]!.pxPerMm.value * 36) / 5472) - 1) < 0.02,
  );
});

test("real files of many cameras, made 100 px small by an editor: none gives a ratio", {
  skip,
}, async () => {
  let small = 0;
  for (const name of readdirSync(join(DATA, "exif")).filter((name) => /\.jpg$/.test(name))) {
    const info = await infoOfFile({ file: join(DATA, "exif", name) });
    if (Math.max(info.widthPx, info.heightPx) > 100) continue;
    small++;
    const pitch = sensorPitch({}, info, info);
    assert.equal(pitch.pixelMm, null, name);
  }
  assert.ok(small > 10);
});
