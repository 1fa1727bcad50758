import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import fc from "fast-check";
import sharp from "sharp";
import { dicomMeasurements } from "../../src/dicom/measurement-report.ts";
import { dicomPhotograph } from "../../src/dicom/photograph.ts";
import { freeText, personName } from "../../src/dicom/text.ts";
import { uidOf } from "../../src/dicom/uid.ts";
import { jpeg, missing, photograph, study } from "./support.ts";

let folder = "";
before(() => {
  folder = mkdtempSync(join(tmpdir(), "samescale-dicom-"));
});
after(() => rmSync(folder, { recursive: true }));

let written = 0;
function file(bytes: Uint8Array): string {
  written += 1;
  const path = join(folder, `${written}.dcm`);
  writeFileSync(path, bytes);
  return path;
}

/**
 * Its release of 2022 does not check text in UTF-8, and a directory on a medium wants day and time of a study: a
 * de-identified one has none, which the standard allows (type 2).
 */
const UNAVOIDABLE = [/VR checker does not support/, /needed to build DICOMDIR - Study (Date|Time)$/];

/** What dciodvfy says beyond the name of the object that it found. */
function complaints(path: string, name: string): string {
  const { stderr, stdout } = spawnSync("dciodvfy", [path], { encoding: "utf8" });
  return `${stdout}${stderr}`
    .split("\n")
    .filter((line) => line !== name && line !== "" && !UNAVOIDABLE.some((pattern) => pattern.test(line)))
    .join("\n");
}

const region = (made: { readonly sopClassUid: string; readonly sopInstanceUid: string }, outlinePx = 4) => ({
  image: made,
  ids: ["01OUTLINE", "0"],
  label: "Region 1",
  part: "lower leg",
  side: "left" as const,
  outlinePx: Array.from({ length: outlinePx }, (_, i) => {
    const turn = (2 * Math.PI * i) / outlinePx;
    return [100.5 + 40 * Math.cos(turn), 90.25 + 30 * Math.sin(turn)] as const;
  }),
  areaMm2: { value: 512.345678912, u95: 12.3 },
  perimeterMm: { value: 90.1, u95: 2 },
  lengthMm: { value: 31.2, u95: 0.4 },
  lengthEndsPx: [
    [10, 10],
    [90, 80],
  ] as const,
  widthMm: { value: 22, u95: 0.4 },
  widthEndsPx: [
    [100.5, 12],
    [20, 70],
  ] as const,
  method: "By the plane of the scale in the picture.",
});
const report = { ids: ["01REPORT"], madeAt: "2026-06-01T10:00:00.000Z" };

test("dciodvfy finds no error and nothing to warn of, in photographs of every kind and in the report", {
  skip: missing("dciodvfy", "dicom3tools"),
}, async () => {
  const nobody = { ...study, patient: null, code: "A7K2", day: null, beganAt: null, description: null };
  const deidentified = { method: "Names, numbers and dates left out", pseudonym: "P-1" };
  const kinds = [
    await dicomPhotograph(study, photograph(await jpeg())),
    await dicomPhotograph(
      study,
      photograph(await jpeg(64, 48, { subsampling: "4:4:4" }), { part: "face", side: null }),
    ),
    await dicomPhotograph(study, photograph(await jpeg(64, 48, { grey: true }), { part: "operating field" })),
    await dicomPhotograph(
      { ...nobody, operator: null, deidentified },
      photograph(await jpeg(64, 48), {
        takenAt: null,
        camera: null,
        calibration: null,
        part: null,
        viewName: null,
        recognisable: null,
        derivation: "masked",
      }),
    ),
  ];
  for (const made of kinds) assert.equal(complaints(file(made.bytes), "VLPhotographicImage"), "");
  const sr = await dicomMeasurements(study, {
    ...report,
    regions: [region(kinds[0]!), region(kinds[1]!, 900)],
  });
  assert.equal(complaints(file(sr), "ComprehensiveSR"), "");
  const unnamed = await dicomMeasurements(
    { ...nobody, operator: null, deidentified },
    { ...report, regions: [region(kinds[3]!)] },
  );
  assert.equal(complaints(file(unnamed), "ComprehensiveSR"), "");
});

test("of a paired part whose side nobody said, the side is empty: dciodvfy warns that it must really be unknown, and it is", {
  skip: missing("dciodvfy", "dicom3tools"),
}, async () => {
  const made = await dicomPhotograph(study, photograph(await jpeg(16, 16), { side: null }));
  assert.match(
    complaints(file(made.bytes), "VLPhotographicImage"),
    /^Warning - is only permitted to be empty when actually unknown[^\n]*<Laterality>$/,
  );
});

test("dcmdump reads what was meant, and dcmdjpeg decodes the picture", {
  skip: missing("dcmdump", "dcmtk"),
}, async () => {
  const path = file((await dicomPhotograph(study, photograph(await jpeg()))).bytes);
  const dump = execFileSync("dcmdump", ["+L", path], { encoding: "utf8" });
  for (const line of [
    /\(0008,0008\) CS \[ORIGINAL\\PRIMARY\]/,
    /\(0008,0060\) CS \[XC\]/,
    /\(0008,0100\) SH \[30021000\]/,
    /\(0010,0010\) PN \[Zoë Ångström\^\]/,
    /\(0010,0021\) LO \[Fernhill Infirmary \(invented\)\]/,
    /\(0020,0062\) CS \[L\]/,
    /\(0016,0005\) DS \[16\]/,
    /\(0016,0026\) DS \[0.533\]/,
    // @source DicomPS3.3 10.7; the worked example of the reference: 3.9167 um at 1:10.
    /\(0028,0030\) DS \[0.039166667\\0.039166667\]/,
    /\(0028,2110\) CS \[01\]/,
  ]) {
    assert.match(dump, line);
  }
  execFileSync("dcmdjpeg", [path, `${path}.raw.dcm`]);
});

const readWithPydicom = `
import sys, json, pydicom
image, report = pydicom.dcmread(sys.argv[1]), pydicom.dcmread(sys.argv[2])
numbers = []
def walk(item, concept):
    for child in item.get("ContentSequence", []):
        name = child.ConceptNameCodeSequence[0].CodeMeaning if "ConceptNameCodeSequence" in child else ""
        if child.ValueType == "NUM":
            v = child.MeasuredValueSequence[0]
            numbers.append([name, float(v.NumericValue), v.MeasurementUnitsCodeSequence[0].CodeValue])
        walk(child, name)
walk(report, "")
from pydicom.encaps import generate_pixel_data_frame
frame = next(generate_pixel_data_frame(image.PixelData, 1))
print(json.dumps({"name": str(image.PatientName), "numbers": numbers, "rows": image.Rows,
  "frame": frame.hex(), "same": report.CurrentRequestedProcedureEvidenceSequence[0].ReferencedSeriesSequence[0]
    .ReferencedSOPSequence[0].ReferencedSOPInstanceUID == image.SOPInstanceUID}))
`;
const python = ["python3", "/usr/bin/python3"].find(
  (name) => spawnSync(name, ["-c", "import pydicom"]).status === 0,
);

test("pydicom reads picture, numbers with units and intervals, and the report's reference to the picture", {
  skip:
    python === undefined ? "no python3 with pydicom on this machine (Debian package python3-pydicom)" : false,
}, async () => {
  const picture = await jpeg();
  const made = await dicomPhotograph(study, photograph(picture));
  const sr = await dicomMeasurements(study, { ...report, regions: [region(made)] });
  const answer = execFileSync(python!, ["-c", readWithPydicom, file(made.bytes), file(sr)], {
    encoding: "utf8",
  });
  const { name, numbers, rows, frame, same } = JSON.parse(answer) as Record<string, unknown>;
  assert.equal(name, "Zoë Ångström^");
  assert.equal(rows, 200);
  assert.equal(same, true);
  assert.ok(
    Buffer.from(frame as string, "hex")
      .subarray(0, picture.length)
      .equals(picture),
  );
  assert.deepEqual((numbers as unknown[]).slice(0, 4), [
    ["Area of defined region", 512.34568, "mm2"],
    ["+/-, range of measurement uncertainty", 12.3, "mm2"],
    ["Perimeter", 90.1, "mm"],
    ["+/-, range of measurement uncertainty", 2, "mm"],
  ]);
});

test("a baseline JPEG stands in the file byte for byte, of odd and even length; anything else is encoded again and says why", async () => {
  for (const width of [300, 301, 302, 303]) {
    const picture = await jpeg(width);
    const made = await dicomPhotograph(study, photograph(picture));
    const at = Buffer.from(made.bytes).indexOf(picture);
    assert.notEqual(at, -1);
    const length = Buffer.from(made.bytes).readUInt32LE(at - 4);
    assert.equal(length, picture.length + (picture.length % 2));
    assert.equal(made.reencoded, null);
  }
  const png = await sharp({ create: { width: 40, height: 30, channels: 4, background: "#b08070" } })
    .png()
    .toBuffer();
  const cases = [
    [await jpeg(40, 30, { progressive: true }), /not a baseline/, 40],
    [await jpeg(40, 30, { orientation: 6 }), /upright/, 30],
    [png, /not a JPEG/, 40],
  ] as const;
  for (const [picture, why, widthPx] of cases) {
    const made = await dicomPhotograph(study, photograph(picture));
    assert.match(made.reencoded!, why);
    assert.equal(made.widthPx, widthPx);
    assert.ok(Buffer.from(made.bytes).includes("DERIVED"));
  }
  for (const picture of [Buffer.from("no picture"), png.subarray(0, 60)]) {
    await assert.rejects(dicomPhotograph(study, photograph(picture)), { code: "PICTURE_DAMAGED" });
  }
});

test("the same record gives the same bytes; another frame, picture or study another UID", async () => {
  const picture = await jpeg(40, 30);
  const bytes = async (changes = {}) => (await dicomPhotograph(study, photograph(picture, changes))).bytes;
  assert.deepEqual(await bytes(), await bytes());
  const uid = async (ids: string[]) =>
    (await dicomPhotograph(study, photograph(picture, { ids }))).sopInstanceUid;
  assert.notEqual(await uid(["a", "b"]), await uid(["ab"]));
  fc.assert(
    fc.property(fc.array(fc.string(), { minLength: 1 }), (names) => {
      const made = uidOf(...names);
      // @source DicomPS3.5 9.1: 64 characters, no component with a leading zero.
      assert.match(made, /^2\.25\.[1-9]\d{0,38}$/);
    }),
  );
});

/** Any UTF-16 unit, halves of characters among them. */
const anyUnit = fc.integer({ min: 0, max: 0xffff }).map((unit) => String.fromCharCode(unit));

test("hostile names are written without parting values or name groups; a number that cannot be written is refused", {
  skip: missing("dcmdump", "dcmtk"),
}, async () => {
  const picture = await jpeg(16, 16);
  const names = [
    "a\\b^c=d",
    "x\u0000\r\ny",
    "'; DROP TABLE patient; --",
    "山田 太郎",
    "\u202Eevil",
    "é".repeat(300),
    "",
  ];
  const files: string[] = [];
  for (const text of names) {
    const patient = { ...study.patient!, name: { text }, authority: text };
    const hostile = { ...study, patient, description: text };
    files.push(file((await dicomPhotograph(hostile, photograph(picture, { viewName: text }))).bytes));
  }
  assert.equal(spawnSync("dcmdump", files, { encoding: "utf8" }).stderr, "");
  for (const number of ["1\\2", "1\n2", "x".repeat(65), " 1"]) {
    const patient = { ...study.patient!, number };
    await assert.rejects(dicomPhotograph({ ...study, patient }, photograph(picture)), {
      code: "DICOM_VALUE_NOT_WRITABLE",
    });
  }
  assert.equal(personName({ text: "", family: "O'Hara^", given: "Zoë" }), "O'Hara^Zoë");
  fc.assert(
    fc.property(fc.string({ unit: anyUnit, maxLength: 100 }), (text) => {
      for (const [vr, limit] of [
        ["SH", 16],
        ["LO", 64],
        ["PN", 64],
      ] as const) {
        const value = freeText(text, vr);
        assert.ok(value.length <= limit);
        assert.doesNotMatch(value, /[\\\p{Cc}]/u);
        assert.ok(value.isWellFormed());
      }
    }),
  );
});

test("metadata end where the file ends, orientation in either byte order is seen", async () => {
  const upright = await jpeg(40, 30, { orientation: 1 });
  assert.equal((await dicomPhotograph(study, photograph(upright))).reencoded, null);
  const path = file((await dicomPhotograph(study, photograph(upright))).bytes);
  assert.ok(readFileSync(path).includes(upright));
});
