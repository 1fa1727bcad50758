import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { before, test } from "node:test";
import type { ScaleFound } from "@samescale/picture";
import sharp from "sharp";
import { CannotLeave } from "../../src/release/cannot-leave.ts";
import type { FormContext, OutgoingFrame, ReleaseForm } from "../../src/release/form.ts";
import { calibrationOf } from "../../src/release/forms/calibration.ts";
import { contactSheetForm } from "../../src/release/forms/contact-sheet.ts";
import { dicomForm } from "../../src/release/forms/dicom.ts";
import { fhirForm } from "../../src/release/forms/fhir.ts";
import { tableForm } from "../../src/release/forms/table.ts";
import { trueSizeForm } from "../../src/release/forms/true-size.ts";
import { SCOPE_RULES } from "../../src/release/scope-rules.ts";
import { allFiles, formContext, outgoingFrame } from "./form-context.ts";

const SIZE = { widthPx: 1200, heightPx: 800 };
let jpeg: Buffer;
before(async () => {
  const create = { width: SIZE.widthPx, height: SIZE.heightPx, channels: 3, background: "#b08070" } as const;
  jpeg = await sharp({ create }).jpeg().toBuffer();
});

/** 10 px a millimetre square to the camera, or leaning: the plane's far side shown smaller. */
function reading(changes: Partial<Omit<ScaleFound, "file">> & { readonly leanPerPx?: number } = {}) {
  const { leanPerPx = 0, ...rest } = changes;
  const plane = {
    homographyPxToMm: [
      [0.1, 0, 0],
      [0, 0.1, 0],
      [leanPerPx, 0, 1],
    ],
    tiltDeg: { value: 2, u95: 0.5 },
  } as const;
  const scale = {
    kind: "L",
    unit: "mm",
    pxPerMm: { value: 10, u95: 0.03 },
    at: { x: 600, y: 400 },
    axisDeg: 0,
    ticks: [],
    coverageMm: 90,
    residualPx: 0.2,
  } as const;
  const body = {
    ...SIZE,
    found: true,
    scales: [scale],
    plane,
    reproductionRatio: { value: 0.25, u95: 0.001 },
    warnings: [],
    recipe: { step: "scale", version: 1, parameters: {} },
    ...rest,
  } as const;
  return { sha256: "aa", recipe: body.recipe, body };
}

const measured = (): Pick<OutgoingFrame, "outline" | "measurement"> => {
  const recipe = { step: "measure", version: 1, parameters: {} };
  const region = {
    outline: [
      [300, 300],
      [600, 300],
      [600, 500],
      [300, 500],
    ] as const,
    holes: [],
  };
  const sizes = {
    areaMm2: { value: 600, u95: 8 },
    lengthMm: { value: 36.1, u95: 0.3 },
    widthMm: { value: 33, u95: 0.3 },
    perimeterMm: { value: 100, u95: 1 },
    circularity: 0.75,
    edge: { uMm: 0.1, from: "picture" },
    ellipse: null,
    perimeterSmoothingMm: 0.5,
    lengthEndsPx: [
      [300, 300],
      [600, 500],
    ],
    widthEndsPx: [
      [300, 500],
      [600, 300],
    ],
  } as const;
  return {
    outline: { sha256: "bb", recipe, body: { regions: [region] } },
    measurement: {
      sha256: "cc",
      recipe,
      body: { regions: [sizes], method: "plane", budget: [], warnings: [], recipe },
    },
  };
};

const frame = (changes: Partial<OutgoingFrame> = {}) =>
  outgoingFrame(jpeg, SIZE, { reading: reading(), ...measured(), ...changes });

const made = (form: ReleaseForm, changes: Partial<FormContext> = {}) =>
  allFiles(form.files(formContext({ frames: [frame()], ...changes })));

const hasDciodvfy = spawnSync("dciodvfy", ["-version"]).error === undefined;

test("dicom: an object a frame, the JPEG as it was coded, sizes in pixels of the picture; dciodvfy is silent", {
  skip: hasDciodvfy ? false : "dciodvfy is not on this machine (Debian package dicom3tools)",
}, async (t) => {
  const files = await made(dicomForm, {
    frames: [
      frame(),
      frame({
        number: 2,
        name: "A7K2-002",
        frameId: "02",
        day: "2026-04-01",
        takenAt: "2026-04-01T09:00:00",
      }),
    ],
  });
  assert.deepEqual(
    [...files.keys()],
    ["A7K2-001.dcm", "A7K2-measurements.dcm", "A7K2-002.dcm", "A7K2-measurements-2.dcm"],
  );
  assert.ok(files.get("A7K2-001.dcm")!.includes(jpeg));
  assert.ok(files.get("A7K2-001.dcm")!.includes("0.1\\0.1"));
  const folder = mkdtempSync(join(tmpdir(), "samescale-forms-"));
  t.after(() => rmSync(folder, { recursive: true }));
  for (const [name, bytes] of files) {
    writeFileSync(join(folder, name), bytes);
    const { stdout, stderr } = spawnSync("dciodvfy", [join(folder, name)], { encoding: "utf8" });
    assert.doesNotMatch(stdout + stderr, /Error|Warning/, `${name}: ${stdout}${stderr}`);
  }
});

test("dicom: a lean gives no Pixel Spacing; for research neither identity nor the record's names are in it", async () => {
  const leaning = await made(dicomForm, { frames: [frame({ reading: reading({ leanPerPx: 1e-4 }) })] });
  assert.ok(!leaning.get("A7K2-001.dcm")!.includes("0.1\\0.1"));
  const hidden = await made(dicomForm, {
    scope: "research",
    rules: SCOPE_RULES.research,
    patient: null,
    pseudonym: "P-0007",
    request: { ...formContext().request, id: null, code: null, title: null },
    frames: [frame({ takenAt: null, camera: null, jpegAsCoded: async () => null })],
  });
  const text = [...hidden.values()].map((bytes) => bytes.toString("latin1")).join("");
  assert.doesNotMatch(text, /Ada|HN10001|19500203|R-1\b|mara|Fernhill|01FRAME|01REQUEST/);
  assert.match(text, /P-0007/);
});

test("fhir: the pictures and one bundle that names them", async () => {
  const files = await made(fhirForm);
  assert.deepEqual([...files.keys()], ["A7K2-001.jpg", "A7K2-bundle.json"]);
  const { entry } = JSON.parse(files.get("A7K2-bundle.json")!.toString()) as {
    entry: { resource: { resourceType: string } }[];
  };
  assert.deepEqual(
    entry.map(({ resource }) => resource.resourceType),
    ["Patient", "ServiceRequest", "BodyStructure", "Media", ...Array(4).fill("Observation"), "Provenance"],
  );
});

test("table: the same rows as CSV and as JSON Lines, a reading that failed says why", async () => {
  const notFound = { found: false, ...SIZE, reason: "=no scale in it" } as const;
  const blind = { sha256: null, recipe: reading().recipe, body: notFound };
  const files = await made(tableForm, {
    frames: [frame(), frame({ name: "A7K2-002", reading: blind, outline: null, measurement: null })],
  });
  assert.deepEqual(
    [...files.keys()],
    ["A7K2-frames.csv", "A7K2-frames.jsonl", "A7K2-measurements.csv", "A7K2-measurements.jsonl"],
  );
  assert.match(files.get("A7K2-frames.csv")!.toString(), /"'=no scale in it"\r\n$/);
  const [size] = files.get("A7K2-measurements.jsonl")!.toString().trim().split("\n");
  const row = JSON.parse(size!) as Record<string, unknown>;
  assert.equal(row.area_mm2, 600);
  assert.equal(row.area_mm2_u95, 8);
  assert.equal(row.side, "left");
  assert.equal(files.get("A7K2-measurements.csv")!.toString().split("\r\n").length, 3);
});

test("true size: refused, with the reason, where the calibration does not carry it", async () => {
  const { body } = reading();
  const unsure = { ...body.scales[0], pxPerMm: { value: 10, u95: 0.5 } };
  const cases: readonly (readonly [OutgoingFrame["reading"], RegExp])[] = [
    [null, /no scale was read/],
    [{ ...reading(), body: { found: false, ...SIZE, reason: "glare" } }, /not read: glare/],
    [reading({ plane: null }), /no plane/],
    [reading({ scales: [unsure] }), /known to 5\.0 % only/],
    [reading({ leanPerPx: 1e-3 }), /leaned too far/],
  ];
  for (const [answer, why] of cases) {
    await assert.rejects(made(trueSizeForm, { frames: [frame({ reading: answer })] }), (thrown: Error) => {
      assert.ok(thrown instanceof CannotLeave);
      assert.match(thrown.message, why);
      return true;
    });
  }
  const files = await made(trueSizeForm);
  assert.match(files.get("A7K2-true-size.pdf")!.toString("latin1"), /\/PrintScaling \/None/);
});

const hasPoppler = spawnSync("pdftotext", ["-v"]).error === undefined;
test("a picture made smaller has larger pixels: the size of the subject stays", async () => {
  const smaller = { jpeg, widthPx: 600, heightPx: 400, pxPerOriginalPx: 0.5, masked: 0 };
  const calibration = calibrationOf(frame(), smaller);
  assert.ok("over" in calibration);
  const whole = calibration.over({ x: 0, y: 0, width: 600, height: 400 });
  assert.ok("mmPerPx" in whole);
  assert.ok(Math.abs(600 * whole.mmPerPx.value - 120) < 1e-6, `${whole.mmPerPx.value}`);
  assert.ok(Math.abs(calibration.mmPerPx.value - 0.2) < 1e-9);
});

test("true size: the whole where it fits, else one sheet round what was outlined", {
  skip: hasPoppler ? false : "pdftotext is not on this machine (Debian package poppler-utils)",
}, async () => {
  const textOf = async (changes: Partial<OutgoingFrame>) => {
    const files = await made(trueSizeForm, { frames: [frame(changes)] });
    return execFileSync("pdftotext", ["-layout", "-", "-"], {
      input: files.get("A7K2-true-size.pdf")!,
      encoding: "utf8",
    });
  };
  assert.match(await textOf({}), /± 0\.3 %/);
  // 600 x 400 mm at 2 px/mm: fifteen sheets; the part round the outline takes one.
  const wide = reading({
    scales: [{ ...reading().body.scales[0], pxPerMm: { value: 2, u95: 0.01 } }],
    plane: {
      homographyPxToMm: [
        [0.5, 0, 0],
        [0, 0.5, 0],
        [0, 0, 1],
      ],
      tiltDeg: { value: 0, u95: 0.5 },
    },
  });
  const part = await textOf({ reading: wide });
  assert.match(part, /A part of the picture/);
  assert.match(part, /page 1 of 1/);
});

test("contact sheet: names of views; a picture that cannot leave keeps its place", async () => {
  const refused = () => Promise.reject(new CannotLeave({ frameId: "1", name: "x" }, "no masks"));
  const files = await made(contactSheetForm, { frames: [frame(), frame({ picture: refused })] });
  assert.equal(files.size, 1);
  const broken = () => Promise.reject(new Error("a fault of ours"));
  await assert.rejects(made(contactSheetForm, { frames: [frame({ picture: broken })] }), /a fault of ours/);
});
