import assert from "node:assert/strict";
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  truncateSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, test } from "node:test";
import { SamescaleError } from "@samescale/errors";
import { type CalibratedScales, type Recorded, withMeasurement } from "@samescale/practice";
import { changeCalibratedScales, readCalibratedScales } from "../../src/index.ts";

const folder = mkdtempSync(join(tmpdir(), "samescale-calibrations-"));
after(() => rmSync(folder, { recursive: true }));

const recorded =
  (id: string) =>
  (record: CalibratedScales): Recorded =>
    withMeasurement(
      record,
      { id, kind: "steel rule", nominalMm: 150, printedOn: null },
      {
        measuredOn: "2026-05-02",
        by: "A. Name",
        instrument: "calliper, 0.05 mm",
        resolutionMm: 0.05,
        instrumentU95Mm: 0.03,
        tolerancePercent: 2,
        dueOn: "2027-05-02",
        lengths: [{ what: "scale", nominalMm: 150, measuredMm: 150.02 }],
      },
      "2026-05-04",
    );

const code = (wanted: string) => (thrown: unknown) =>
  thrown instanceof SamescaleError && thrown.code === wanted;

test("the record is made, read, added to; lines that did not change stay as they are", async () => {
  const file = join(folder, "scales.json");
  await changeCalibratedScales(file, recorded("rule-1"));
  const before = readFileSync(file, "utf8").split("\n");
  await changeCalibratedScales(file, recorded("rule-2"));
  const after = readFileSync(file, "utf8").split("\n");
  assert.equal((await readCalibratedScales(file)).scales.length, 2);
  assert.deepEqual(after.slice(0, before.length - 4), before.slice(0, -4));
  assert.ok(!existsSync(`${file}.part`));
});

test("a refusal, or a fault, leaves the file as it was", async () => {
  const file = join(folder, "kept.json");
  await changeCalibratedScales(file, recorded("rule-1"));
  const before = readFileSync(file);
  const refuse = () => ({ refused: "no", help: "Do not." });
  await assert.rejects(changeCalibratedScales(file, refuse), code("CALIBRATION_REFUSED"));
  await assert.rejects(
    changeCalibratedScales(file, () => {
      throw new Error("a fault");
    }),
  );
  assert.deepEqual(readFileSync(file), before);
  assert.ok(!existsSync(`${file}.part`));
});

test("of two who record at once, one is told to wait and nothing is lost", async () => {
  const file = join(folder, "two.json");
  const both = await Promise.allSettled([
    changeCalibratedScales(file, recorded("rule-1")),
    changeCalibratedScales(file, recorded("rule-2")),
  ]);
  const failed = both.filter(({ status }) => status === "rejected") as PromiseRejectedResult[];
  assert.ok(failed.every(({ reason }) => code("CALIBRATIONS_BUSY")(reason)));
  assert.equal((await readCalibratedScales(file)).scales.length, 2 - failed.length);
});

test("files that are no record: named, never changed", async () => {
  const write = (name: string, content: string) => {
    const file = join(folder, name);
    writeFileSync(file, content);
    return file;
  };
  for (const [file, wanted] of [
    [join(folder, "missing.json"), "FILE_MISSING"],
    [write("text.json", "scales: none"), "CALIBRATIONS_INVALID"],
    [write("empty.json", ""), "CALIBRATIONS_INVALID"],
    [write("other.json", '{"scales":{}}'), "CALIBRATIONS_INVALID"],
    [write("deep.json", "[".repeat(1e5)), "CALIBRATIONS_INVALID"],
  ] as const) {
    await assert.rejects(readCalibratedScales(file), code(wanted), file);
  }
  mkdirSync(join(folder, "folder.json"));
  await assert.rejects(readCalibratedScales(join(folder, "folder.json")), code("FILE_IS_FOLDER"));
  const large = write("large.json", "");
  truncateSync(large, 2 ** 30);
  await assert.rejects(readCalibratedScales(large), code("INPUT_TOO_LARGE"));
  const text = join(folder, "text.json");
  await assert.rejects(changeCalibratedScales(text, recorded("rule-1")), code("CALIBRATIONS_INVALID"));
  assert.equal(readFileSync(text, "utf8"), "scales: none");
});
