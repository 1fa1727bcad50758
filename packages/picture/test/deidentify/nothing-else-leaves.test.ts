import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, globSync } from "node:fs";
import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { basename, join, resolve } from "node:path";
import { type TestContext, test } from "node:test";
import sharp from "sharp";
import type { CameraFacts } from "../../src/deidentify/camera-exif.ts";
import { jpegAsCoded } from "../../src/deidentify/jpeg-as-coded.ts";
import { outgoingPicture } from "../../src/deidentify/outgoing-picture.ts";
import { holdsSecret, hostileFiles, SECRET, sourceHoldsSecret } from "./hostile.ts";

/**
 * Held against exiftool, which knows some 28,000 tags. What it may find: what the file system says, how the JPEG is
 * coded, its own arithmetic, and the profile that every sRGB file carries.
 */
const BARE =
  /^(SourceFile|ExifTool:.*|System:.*|File:(FileType|FileTypeExtension|MIMEType|ImageWidth|ImageHeight|EncodingProcess|BitsPerSample|ColorComponents|YCbCrSubSampling)|JFIF:(JFIFVersion|ResolutionUnit|XResolution|YResolution)|ICC_Profile:.*|ICC-\w+:.*|Composite:(ImageSize|Megapixels))$/;
const CAMERA =
  /^(File:ExifByteOrder|IFD0:(Make|Model|Orientation|XResolution|YResolution|ResolutionUnit|YCbCrPositioning)|ExifIFD:(ExposureTime|FNumber|ISO|ExifVersion|DateTimeOriginal|ComponentsConfiguration|FocalLength|FlashpixVersion|ColorSpace|ExifImageWidth|ExifImageHeight|FocalPlaneXResolution|FocalPlaneYResolution|FocalPlaneResolutionUnit|LensModel)|Composite:(Aperture|ShutterSpeed|FocalLength35efl|ScaleFactor35efl|CircleOfConfusion|FOV|HyperfocalDistance|LightValue|Lens|LensID|DOF))$/;

async function readyFor(t: TestContext): Promise<string | null> {
  if (spawnSync("exiftool", ["-ver"]).status !== 0) {
    t.skip("exiftool is not installed (Debian: libimage-exiftool-perl)");
    return null;
  }
  const folder = await mkdtemp(join(tmpdir(), "samescale-hostile-"));
  t.after(() => rm(folder, { recursive: true, force: true }));
  return folder;
}

function tagsOf(folder: string, names: readonly string[]): Map<string, string[]> {
  const said = execFileSync("exiftool", ["-j", "-a", "-u", "-U", "-ee", "-G1", "-s", ...names], {
    cwd: folder,
    maxBuffer: 64e6,
  });
  const read = JSON.parse(said.toString()) as Record<string, string>[];
  return new Map(read.map((tags) => [tags.SourceFile!, Object.keys(tags)]));
}

const hashOf = async (file: string) =>
  createHash("sha256")
    .update(await readFile(file))
    .digest("hex");

const FACTS: CameraFacts = {
  make: "Invented",
  model: "Body 1",
  lens: "60 mm",
  focalMm: 60,
  fNumber: 11,
  exposureS: 1 / 125,
  iso: 200,
  sensorWidthMm: { value: 36, from: "test" },
};

test("of hostile files nothing leaves but pixels: exiftool finds the allow-list only, the name is nowhere", async (t) => {
  const folder = await readyFor(t);
  if (folder === null) return;
  const files = await hostileFiles(folder);
  const hidden = await Promise.all(files.map(sourceHoldsSecret));
  // What is compressed in the file is not seen by a plain search; the other files show that the search works.
  assert.ok(hidden.filter(Boolean).length >= files.length - 1, files.filter((_, i) => !hidden[i]).join(" "));
  const names: string[] = [];
  for (const file of files) {
    for (const camera of [null, { facts: FACTS, takenAt: "2026-03-15T09:30:00" }]) {
      const made = await outgoingPicture({
        file,
        sha256: await hashOf(file),
        maxSidePx: 200,
        areas: camera ? null : [],
        camera,
      });
      assert.ok(made.made);
      assert.ok(!(await holdsSecret(made.jpeg)), basename(file));
      const name = `${camera ? "camera" : "bare"}-${basename(file)}.jpg`;
      await writeFile(join(folder, name), made.jpeg);
      names.push(name);
    }
  }
  for (const [name, tags] of tagsOf(folder, names)) {
    const allowed = (tag: string) => BARE.test(tag) || (name.startsWith("camera-") && CAMERA.test(tag));
    assert.deepEqual(
      tags.filter((tag) => !allowed(tag)),
      [],
      name,
    );
  }
});

test("the camera's facts are written as they were read, and nothing else with them", async (t) => {
  const folder = await readyFor(t);
  if (folder === null) return;
  const file = join(folder, "plain.png");
  await sharp({ create: { width: 600, height: 400, channels: 3, background: "#b8806a" } })
    .png()
    .toFile(file);
  const camera = { facts: FACTS, takenAt: "2026-03-15T09:30:00" };
  const made = await outgoingPicture({
    file,
    sha256: await hashOf(file),
    maxSidePx: 300,
    areas: null,
    camera,
  });
  assert.ok(made.made);
  await writeFile(join(folder, "out.jpg"), made.jpeg);
  const said = execFileSync("exiftool", ["-j", "-n", join(folder, "out.jpg")]);
  const [tags] = JSON.parse(said.toString()) as Record<string, unknown>[];
  const {
    Make,
    Model,
    LensModel,
    FocalLength,
    FNumber,
    ExposureTime,
    ISO,
    DateTimeOriginal,
    FocalPlaneXResolution,
    ExifImageWidth,
  } = tags!;
  assert.deepEqual(
    { Make, Model, LensModel, FocalLength, FNumber, ExposureTime, ISO, DateTimeOriginal },
    {
      Make: "Invented",
      Model: "Body 1",
      LensModel: "60 mm",
      FocalLength: 60,
      FNumber: 11,
      ExposureTime: 0.008,
      ISO: 200,
      DateTimeOriginal: "2026:03:15 09:30:00",
    },
  );
  // 300 px on 36 mm: the sensor's width is found again from the reduced picture.
  assert.ok(Math.abs((10 * Number(ExifImageWidth)) / Number(FocalPlaneXResolution) - 36) < 0.01);
});

test("a JPEG as it was coded: the same pixels, no segment of metadata, no preview, nothing behind its end", async (t) => {
  const folder = await readyFor(t);
  if (folder === null) return;
  const shared = resolve(import.meta.dirname, "../../../../../shared/data/exif");
  const real = existsSync(shared)
    ? globSync(`${shared}/*.jp*g`)
        .sort()
        .filter((_, i) => i % 6 === 0)
    : [];
  const files = [...(await hostileFiles(folder)), ...real];
  const names: string[] = [];
  const none: string[] = [];
  for (const file of files) {
    const bare = await jpegAsCoded({ file, sha256: await hashOf(file) }).catch(() => null);
    if (bare === null) {
      none.push(basename(file));
      continue;
    }
    const lenient = { failOn: "none" } as const;
    const [was, is] = await Promise.all([
      sharp(file, lenient).raw().toBuffer(),
      sharp(bare.jpeg, lenient).raw().toBuffer(),
    ]);
    assert.ok(was.equals(is), `${basename(file)}: other pixels`);
    if (!file.endsWith("profile.jpg")) assert.ok(!(await holdsSecret(bare.jpeg)), basename(file));
    names.push(basename(file));
    await writeFile(join(folder, `as-coded-${basename(file)}`), bare.jpeg);
  }
  assert.ok(names.length >= 7 && none.includes("text.png") && none.includes("turned.jpg"), none.join(" "));
  for (const [name, tags] of tagsOf(
    folder,
    names.map((name) => `as-coded-${name}`),
  )) {
    const allowed = (tag: string) => BARE.test(tag) || /^(APP14|Adobe):/.test(tag);
    assert.deepEqual(
      tags.filter((tag) => !allowed(tag)),
      [],
      name,
    );
  }
});

test("the search finds the name where it is", async (t) => {
  const folder = await readyFor(t);
  if (folder === null) return;
  assert.ok(await holdsSecret(Buffer.from(`x${SECRET}y`, "utf16le")));
  assert.ok(!(await holdsSecret(Buffer.from("nothing"))));
});
