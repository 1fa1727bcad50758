import assert from "node:assert/strict";
import { test } from "node:test";
import fc from "fast-check";
import {
  cameraTime,
  clockFlag,
  clockState,
  dayOf,
  secondsBetween,
  shifted,
} from "../../src/intake/camera-clock.ts";
import { type CardPicture, groupFiles } from "../../src/intake/group-files.ts";
import { labelCodeText, parseLabelCode, wristbandNumber } from "../../src/intake/label-code.ts";
import { natural } from "../../src/intake/order-frames.ts";
import { recognise } from "../../src/intake/recognise.ts";

test("a label code reads back as it was written, and other texts are not taken for one", () => {
  assert.equal(labelCodeText("R-17", "HN12345"), "SR1:R-17:HN12345");
  assert.deepEqual(parseLabelCode("SR1:R-17:HN12345"), { requestCode: "R-17", patientNumber: "HN12345" });
  assert.deepEqual(parseLabelCode("SR1:R-17"), { requestCode: "R-17", patientNumber: null });
  assert.deepEqual(parseLabelCode("SR1:R-17:a:b c"), { requestCode: "R-17", patientNumber: "a:b c" });
  for (const text of ["HN12345", "", "sr1:R-17", "XSR1:R-17", "SR:R-17", "https://example.org/SR1:R-1"]) {
    assert.equal(parseLabelCode(text), null, text);
  }
  for (const text of [
    "SR1:",
    "SR1:r-17",
    "SR1:R 17",
    "SR1:-17",
    "SR1:R-17:",
    "SR9:R-17",
    `SR1:${"A".repeat(33)}`,
  ]) {
    assert.equal(parseLabelCode(text), "broken", text);
  }
  const code = fc.stringMatching(/^[A-Z0-9][A-Z0-9-]{0,31}$/);
  const number = fc.option(
    fc.string({ minLength: 1 }).filter((text) => text.trim() !== ""),
    { nil: null },
  );
  fc.assert(
    fc.property(code, number, (requestCode, patientNumber) => {
      assert.deepEqual(parseLabelCode(labelCodeText(requestCode, patientNumber)), {
        requestCode,
        patientNumber,
      });
    }),
  );
});

test("the number of a GS1 wristband stands without its application identifier", () => {
  // The number is the check-digit example of trade-facts 6.6.
  const text = "8018952012345678912345";
  assert.equal(wristbandNumber({ text, aim: "]d2" }), "952012345678912345");
  assert.equal(wristbandNumber({ text: `${text}80191`, aim: "]C1" }), "952012345678912345");
  assert.equal(wristbandNumber({ text: `0112345678901231\u001d${text}`, aim: "]Q3" }), "952012345678912345");
  assert.equal(wristbandNumber({ text, aim: "]Q1" }), null, "plain text that looks alike");
  assert.equal(wristbandNumber({ text: text.slice(0, -1), aim: "]d2" }), null);
});

test("a camera's time is kept as written, and nonsense is named", () => {
  const now = new Date("2026-03-15T12:00:00Z");
  const state = (raw: string | null, iso: string | null) => {
    const time = cameraTime(raw === null ? null : { raw, iso, zone: "not stated" });
    return clockState(time.raw, time.local, now);
  };
  assert.equal(state("2026:03:15 09:30:00", "2026-03-15T09:30:00"), "plausible");
  assert.equal(state("2026:03:16 01:59:00", "2026-03-16T01:59:00"), "plausible"); // noon in UTC is that in UTC+14
  assert.equal(state("2026:03:16 02:01:00", "2026-03-16T02:01:00"), "future");
  assert.equal(state("2099:01:01 00:00:00", "2099-01-01T00:00:00"), "future");
  assert.equal(state("0000:00:00 00:00:00", null), "impossible");
  assert.equal(state("1980:01:01 00:00:00", "1980-01-01T00:00:00"), "before-cameras");
  assert.equal(state(null, null), "none");
  assert.match(clockFlag("future", "2099:01:01 00:00:00") ?? "", /cannot be right: 2099:01:01/);
  assert.equal(clockFlag("plausible", "x"), null);
  assert.equal(dayOf("2026-03-15T09:30:00.25", "plausible"), "2026-03-15");
  assert.equal(dayOf("2099-01-01T00:00:00", "future"), null);
});

test("the zone of a camera's time is kept apart from the local time", () => {
  const taken = { raw: "2026:03:15 09:30:00", iso: "2026-03-15T09:30:00.25+01:00", zone: "+01:00" };
  assert.deepEqual(cameraTime(taken), { raw: taken.raw, local: "2026-03-15T09:30:00.25" });
});

test("shifting a time there and back gives the time, over days, years and leap days", () => {
  assert.equal(shifted("2024-02-28T23:59:59", 2), "2024-02-29T00:00:01");
  assert.equal(shifted("2025-12-31T23:00:00", 3600), "2026-01-01T00:00:00");
  assert.equal(shifted("2026-03-15T09:30:00.250", -60), "2026-03-15T09:29:00.250");
  assert.equal(shifted(null, 5), null);
  assert.equal(shifted("9999-12-31T23:59:59", 2), null);
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 4e9 }), fc.integer({ min: -1e9, max: 1e9 }), (at, offsetS) => {
      const local = new Date(at * 1000).toISOString().slice(0, 19);
      const moved = shifted(local, offsetS);
      assert.equal(shifted(moved, -offsetS), local);
      assert.equal(secondsBetween(local, moved), offsetS);
    }),
  );
});

const picture = (path: string, isRaw: boolean, taken: string | null = null): CardPicture => ({
  sha256: path,
  path,
  kind: "picture",
  isRaw,
  taken,
});

test("RAW and JPEG of one name in one folder are one frame, the JPEG first", () => {
  const exposures = groupFiles([
    picture("DCIM/A/DSC_0001.NEW", true, "2026-03-15T09:00:00"),
    picture("DCIM/A/dsc_0001.jpg", false, "2026-03-15T09:00:01"),
    picture("DCIM/B/DSC_0001.jpg", false, "2026-03-15T09:00:00"),
  ]);
  assert.deepEqual(
    exposures.map(({ folder, name, files, flag }) => [folder, name, files.map((file) => file.path), flag]),
    [
      ["DCIM/A", "dsc_0001", ["DCIM/A/dsc_0001.jpg", "DCIM/A/DSC_0001.NEW"], null],
      ["DCIM/B", "DSC_0001", ["DCIM/B/DSC_0001.jpg"], null],
    ],
  );
});

test("files that share a name by chance stay apart and are flagged", () => {
  const later = groupFiles([
    picture("DSC_1.NEW", true, "2026-03-15T09:00:00"),
    picture("DSC_1.JPG", false, "2026-03-15T11:00:00"),
  ]);
  assert.equal(later.length, 2);
  assert.match(later[0]?.flag ?? "", /taken 7200 s apart/);
  const twoJpegs = groupFiles([picture("a.jpg", false), picture("A.JPG", false), picture("a.new", true)]);
  assert.equal(twoJpegs.length, 3);
  assert.ok(twoJpegs.every((one) => one.flag !== null));
});

test("names without an extension, with several dots and hidden ones keep their name", () => {
  const names = groupFiles([
    picture("x/no-extension", false),
    picture("x/a.b.jpg", false),
    picture(".jpg", false),
  ]);
  assert.deepEqual(
    names.map((one) => one.name),
    ["no-extension", "a.b", ".jpg"],
  );
});

test("names sort by their numbers, the same on every machine", () => {
  const names = ["DSC_10", "DSC_9", "DSC_0009", "a", "B", "DSC_", "", "10", "9x", "9"];
  assert.deepEqual(names.toSorted(natural), [
    "",
    "9",
    "9x",
    "10",
    "B",
    "DSC_",
    "DSC_0009",
    "DSC_9",
    "DSC_10",
    "a",
  ]);
  fc.assert(
    fc.property(fc.string(), fc.string(), fc.string(), (a, b, c) => {
      assert.equal(Math.sign(natural(a, b)), -Math.sign(natural(b, a)) || 0);
      if (natural(a, b) <= 0 && natural(b, c) <= 0) assert.ok(natural(a, c) <= 0);
    }),
  );
});

test("pictures are known by their first bytes, whatever they are called", () => {
  const hex = (bytes: string) => Buffer.from(bytes, "hex");
  const said = (head: Buffer, name = "x.jpg") => {
    const found = recognise(head, name);
    if (found.kind === "other") return found.what;
    return found.kind === "video" ? `video ${found.format}` : `${found.format}${found.isRaw ? " raw" : ""}`;
  };
  assert.equal(said(hex("ffd8ffe1"), "notes.txt"), "jpeg");
  assert.equal(said(hex("89504e470d0a1a0a0000")), "png");
  assert.equal(said(hex("49492a0008000000"), "scan.TIF"), "tiff");
  assert.equal(said(hex("49492a0008000000"), "DSC_0001.NEW"), "raw raw");
  assert.equal(said(hex("4d4d002a00000008"), "scan.tiff"), "tiff");
  assert.equal(said(Buffer.from("\0\0\0\x18ftypheic\0\0\0\0", "latin1")), "heif");
  assert.equal(said(Buffer.from("\0\0\0\x18ftypcrx \0\0\0\0", "latin1")), "raw raw");
  assert.equal(said(Buffer.from("\0\0\0\x18ftypmp42\0\0\0\0", "latin1")), "video mp4");
  assert.equal(said(Buffer.from("\0\0\0\x14ftypqt  \0\0\0\0", "latin1"), "a.jpg"), "video mov");
  assert.equal(said(Buffer.from("RIFF\0\0\0\0AVI LIST", "latin1")), "video avi");
  const stream = Buffer.alloc(576);
  for (const at of [0, 188, 376]) stream[at] = 0x47;
  assert.equal(said(stream), "video mpeg-ts");
  assert.equal(said(Buffer.from("G and more text")), "text");
  assert.equal(said(Buffer.from("RIFF\0\0\0\0WEBPVP8 ", "latin1")), "webp");
  assert.equal(said(Buffer.from("RIFF\0\0\0\0WAVEfmt ", "latin1")), "a sound recording");
  assert.equal(said(Buffer.from("this is a letter\r\n")), "text");
  assert.equal(said(Buffer.from("%PDF-1.7")), "a PDF document");
  assert.equal(said(Buffer.alloc(0)), "empty (0 bytes)");
  assert.equal(said(hex("0001020304")), "of a kind that is not known");
  assert.equal(said(hex("ff00")), "of a kind that is not known");
});

test("a video goes with the picture of its name, else it is its own; sidecars go with either", () => {
  const other = (path: string, kind: "video" | "sidecar"): CardPicture => ({ ...picture(path, false), kind });
  const exposures = groupFiles([
    other("A/IMG_1.MOV", "video"),
    other("A/IMG_1.xmp", "sidecar"),
    picture("A/IMG_1.JPG", false),
    other("A/IMG_1.JPG.xmp", "sidecar"),
    other("A/MVI_2.THM", "sidecar"),
    other("A/MVI_2.MP4", "video"),
    other("B/IMG_1.xmp", "sidecar"),
  ]);
  assert.deepEqual(
    exposures.map(({ name, files, flag }) => [name, files.map(({ path }) => path), flag]),
    [
      ["IMG_1", ["A/IMG_1.JPG", "A/IMG_1.MOV", "A/IMG_1.xmp", "A/IMG_1.JPG.xmp"], null],
      ["MVI_2", ["A/MVI_2.MP4", "A/MVI_2.THM"], null],
    ],
  );
  const shared = groupFiles([picture("a.jpg", false), picture("A.JPG", false), other("a.wav", "sidecar")]);
  assert.deepEqual(
    shared.map(({ files }) => files.length),
    [2, 1],
  );
  assert.match(shared[0]?.flag ?? "", /sidecar of its name may belong to another/);
});
