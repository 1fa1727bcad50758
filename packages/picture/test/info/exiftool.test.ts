import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import { existsSync, globSync, readFileSync } from "node:fs";
import { basename, resolve } from "node:path";
import { type TestContext, test } from "node:test";
import { infoOfFile } from "../../src/info/info-of-file.ts";

const folder = resolve(import.meta.dirname, "../../../../../shared/data/exif");

/** Values of one file as an independent reader gives them, by group and tag. */
type Outside = Readonly<Record<string, string | number | undefined>>;

const files = () =>
  globSync(`${folder}/*`)
    .filter((file) => !/\.(md|json)$/.test(file))
    .sort();

function outsideValues(): Map<string, Outside> {
  const tags = ["-n", "-G1", "-EXIF:all", "-File:all", "-Composite:ImageSize", "-QuickTime:all"];
  const said = spawnSync("exiftool", ["-json", ...tags, ...files()], {
    encoding: "utf8",
    maxBuffer: 64e6,
  }).stdout;
  const read = JSON.parse(said) as (Outside & { SourceFile: string })[];
  return new Map(read.map((values) => [basename(values.SourceFile), values]));
}

function missing(t: TestContext): boolean {
  if (!existsSync(folder)) {
    t.skip("the shared pictures are not here");
    return true;
  }
  if (spawnSync("exiftool", ["-ver"]).status !== 0) {
    t.skip("exiftool is not installed (Debian: libimage-exiftool-perl)");
    return true;
  }
  return false;
}

const text = (value: string | number | undefined) => {
  const printable = String(value ?? "")
    .replaceAll(/[\u0000-\u001f]/g, "")
    .trim();
  return printable === "" ? null : printable;
};

function assertNear(got: number | null, want: string | number | undefined, what: string) {
  const expected = Number(want);
  // Absent, zero, "undef" and "inf" all mean unknown.
  if (want === undefined || !Number.isFinite(expected) || expected <= 0) assert.equal(got, null, what);
  // The outside reader prints ten digits.
  else assert.ok(got !== null && Math.abs(got / expected - 1) < 1e-9, `${what}: ${got} for ${expected}`);
}

test("every file's standard tags are what an independent reader says", async (t) => {
  if (missing(t)) return;
  const outside = outsideValues();
  for (const file of files()) {
    const name = basename(file);
    const info = await infoOfFile({ file });
    const values = outside.get(name)!;
    // A tag may stand in either directory; the Exif one counts.
    const tag = (key: string) => values[`ExifIFD:${key}`] ?? values[`IFD0:${key}`];
    assert.equal(info.make, text(tag("Make")), `${name} make`);
    assert.equal(info.model, text(tag("Model")), `${name} model`);
    if (tag("LensModel") !== undefined) assert.equal(info.lens, text(tag("LensModel")), `${name} lens`);
    assertNear(info.focalMm, tag("FocalLength"), `${name} focal length`);
    assertNear(info.fNumber, tag("FNumber"), `${name} f-number`);
    assertNear(info.exposureS, tag("ExposureTime"), `${name} exposure time`);
    // 65535 stands for "see elsewhere"; we say null where there is nothing elsewhere.
    assertNear(
      info.iso,
      tag("ISO") === 65535 ? undefined : String(tag("ISO") ?? "").split(" ")[0],
      `${name} iso`,
    );
    // Values beyond the tag's seven bits are not interpreted.
    const flash = tag("Flash");
    const fired = typeof flash === "number" && flash <= 0x7f ? (flash & 1) === 1 : null;
    assert.equal(info.flashFired, fired, `${name} flash`);
    const distance = tag("SubjectDistance");
    assertNear(
      info.subjectDistanceMm,
      typeof distance === "number" && distance < 4e6 ? distance * 1000 : undefined,
      `${name} distance`,
    );
    const taken = text(tag("DateTimeOriginal"));
    if (taken !== null) assert.equal(info.takenAt?.raw, taken, `${name} taken`);
    const offset = text(tag("OffsetTimeOriginal"));
    if (offset !== null && taken !== null) assert.equal(info.takenAt?.zone, offset, `${name} zone`);
    const stated = Number(values["IFD0:Orientation"] ?? 1);
    assert.equal(info.orientation, stated >= 1 && stated <= 8 ? stated : 1, `${name} orientation`);
    const [w, h] = String(values["Composite:ImageSize"]).split(/[x ]/).map(Number);
    const turned = info.format !== "heic" && info.orientation >= 5;
    assert.deepEqual([info.widthPx, info.heightPx], turned ? [h, w] : [w, h], `${name} size`);
  }
});

/**
 * Values that the truth file's reader took from a maker's private notes, from structures older than Exif, from XMP, or from
 * bits that the tag does not have (one flash). They are left out on purpose: the test above shows that the
 * standard tags say nothing, or something else. Of 376 values.
 */
const NOT_FROM_STANDARD_TAGS: Readonly<Record<string, number>> = {
  Make: 1,
  Model: 1,
  DateTimeOriginal: 3,
  FNumber: 2,
  ExposureTime: 2,
  FocalLength: 1,
  ISO: 6,
  Flash: 3,
};

test("the truth file of the picture set: nothing contradicts it, what is missing is counted", (t) => {
  if (!existsSync(folder)) return t.skip("the shared pictures are not here");
  return checkTruth();
});

async function checkTruth() {
  const truth = JSON.parse(readFileSync(`${folder}/truth.json`, "utf8")) as {
    items: (Outside & { file: string })[];
  };
  const other: Record<string, number> = {};
  const which: string[] = [];
  let compared = 0;
  for (const item of truth.items) {
    const info = await infoOfFile({ file: `${folder}/${item.file}` });
    const got = {
      Make: info.make,
      Model: info.model,
      DateTimeOriginal: info.takenAt?.raw.slice(0, 19).replaceAll("-", ":").replace("T", " ") ?? null,
      FNumber: info.fNumber,
      ExposureTime: info.exposureS,
      FocalLength: info.focalMm,
      ISO: info.iso,
      Flash: info.flashFired,
    };
    for (const [key, value] of Object.entries(got)) {
      const want = key === "DateTimeOriginal" ? item[key]?.toString().slice(0, 19) : item[key];
      if (want === undefined || (want === 0 && key !== "Flash") || /^[\s:]*$/.test(String(want))) continue;
      compared++;
      if (value !== null && agrees(value, want)) continue;
      other[key] = (other[key] ?? 0) + 1;
      which.push(`${item.file} ${key}: ${value} for ${want}`);
    }
  }
  assert.ok(compared > 350, `${compared} values compared`);
  assert.deepEqual(other, NOT_FROM_STANDARD_TAGS, which.join("\n"));
}

function agrees(got: string | number | boolean, want: string | number): boolean {
  if (typeof got === "boolean") return got === ((Number(want) & 1) === 1);
  if (typeof got === "number") return Math.abs(got / Number(want) - 1) < 1e-6;
  return got === text(want);
}

test("sizes in bytes and hashes are those of sha256sum and the file system", (t) => {
  if (!existsSync(folder)) return t.skip("the shared pictures are not here");
  return checkHashes();
});

async function checkHashes() {
  const some = files().slice(0, 12);
  const sums = execFileSync("sha256sum", some, { encoding: "utf8" }).trim().split("\n");
  for (const [i, file] of some.entries()) {
    const info = await infoOfFile({ file });
    assert.equal(info.sha256, sums[i]!.slice(0, 64));
    assert.equal(info.bytes, readFileSync(file).length);
  }
}
