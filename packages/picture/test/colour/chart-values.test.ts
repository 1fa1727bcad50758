import assert from "node:assert/strict";
import { test } from "node:test";
import { SamescaleError } from "@samescale/errors";
import { chartValuesFromText } from "../../src/colour/chart-values.ts";
import { CHART24 } from "../../src/colour/chart24.ts";
import { labToXyz, WHITE_D50 } from "../../src/colour/space.ts";

/** A file as measuring programs write it. @source ISO28178 for the layout */
function cgats(
  rows: readonly string[],
  { format = "SAMPLE_ID SAMPLE_NAME LAB_L LAB_A LAB_B", head = "" } = {},
): string {
  return `CGATS.17
ORIGINATOR "a department"
DESCRIPTOR "our chart # 3"   # a comment
${head}
NUMBER_OF_FIELDS ${format.split(" ").length}
BEGIN_DATA_FORMAT
${format}
END_DATA_FORMAT
NUMBER_OF_SETS ${rows.length}
BEGIN_DATA
${rows.join("\r\n")}
END_DATA
`;
}

const LABS = CHART24.map((patch) => patch.labD50["after-2014"]);
const ROWS = CHART24.map(({ name }, i) => `${i + 1}\t"${name}" ${LABS[i]!.join(" ")}`);
const read = (text: string) => chartValuesFromText(text, "own.txt");

test("Lab and XYZ, in any order of rows, by number, place or name", () => {
  assert.deepEqual(read(cgats(ROWS)).labD50, LABS);
  assert.deepEqual(read(cgats(ROWS.toReversed())).labD50, LABS);
  const named = CHART24.map(({ name }, i) => `"${name.toUpperCase()}" ${LABS[i]!.join(" ")}`).toReversed();
  assert.deepEqual(read(cgats(named, { format: "SAMPLE_NAME LAB_L LAB_A LAB_B" })).labD50, LABS);
  // letters for the four rows, or for the six columns
  const byRow = LABS.map((lab, i) => `${"ABCD"[Math.floor(i / 6)]}${(i % 6) + 1} ${lab.join(" ")}`);
  const byColumn = LABS.map((lab, i) => `${"ABCDEF"[i % 6]}${Math.floor(i / 6) + 1} ${lab.join(" ")}`);
  for (const rows of [byRow.toReversed(), byColumn.toReversed()]) {
    assert.deepEqual(read(cgats(rows, { format: "SAMPLE_ID LAB_L LAB_A LAB_B" })).labD50, LABS);
  }
  const xyz = LABS.map(
    (lab, i) =>
      `${i + 1} ${labToXyz(lab, WHITE_D50)
        .map((v) => (100 * v).toFixed(6))
        .join(" ")}`,
  );
  const fromXyz = read(cgats(xyz, { format: "SAMPLE_ID XYZ_X XYZ_Y XYZ_Z" })).labD50;
  for (const [i, lab] of fromXyz.entries()) {
    for (const c of [0, 1, 2] as const) assert.ok(Math.abs(lab[c] - LABS[i]![c]) < 1e-3);
  }
});

test("what is assumed is said; a patch far from the published value is named", () => {
  assert.ok(read(cgats(ROWS)).remarks[0]?.includes("D50"));
  const unnumbered = LABS.map((lab) => `x ${lab.join(" ")}`);
  const { remarks } = read(cgats(unnumbered, { format: "NOTE LAB_L LAB_A LAB_B" }));
  assert.ok(remarks.some((remark) => remark.includes("as it stands")));
  const odd = ROWS.with(14, `15 red 60 53 28`);
  assert.ok(read(cgats(odd)).remarks.some((remark) => remark.includes("red")));
});

test("broken and hostile files are refused in words", () => {
  const huge = `${cgats(ROWS)}${"# filler\n".repeat(200_000)}`;
  for (const [what, text] of [
    ["expected 24 rows", cgats(ROWS.slice(1))],
    ["expected 24 rows", cgats([...ROWS, "25 more 50 0 0"])],
    ["are not all there", cgats(ROWS, { format: "SAMPLE_ID SAMPLE_NAME LAB_L LAB_A B" })],
    ["not a number", cgats(ROWS.with(3, "4 foliage 43.4 twelve 22"))],
    ["not a number", cgats(ROWS.with(3, "4 foliage 43.4 NaN 22"))],
    ["not a number", cgats(ROWS.with(3, "4 foliage 43.4 0x10 22"))],
    ["no patch has", cgats(ROWS.with(3, "4 foliage 1e9 0 0"))],
    ["do not fill rows", cgats(ROWS.with(3, "4 foliage 43.4"))],
    ["NUMBER_OF_SETS", cgats(ROWS).replace("NUMBER_OF_SETS 24", "NUMBER_OF_SETS 9")],
    ["names one twice", cgats(ROWS.with(3, "3 foliage 43.46 -12.74 22.72"))],
    ["another order", cgats(LABS.toReversed().map((lab, i) => `${i + 1} n ${lab.join(" ")}`))],
    ["only D50", cgats(ROWS, { head: 'WEIGHTING_FUNCTION "ILLUMINANT, D65"' })],
    ["only D50", cgats(ROWS, { head: 'WEIGHTING_FUNCTION "OBSERVER, 10 degree"' })],
    ["BEGIN_DATA_FORMAT is missing", ""],
    ["END_DATA is missing", cgats(ROWS).replace(/END_DATA\n$/, "")],
    ["not a text file", "\0\0\0"],
    ["too long", huge],
  ] as const) {
    assert.throws(
      () => read(text),
      (thrown) =>
        thrown instanceof SamescaleError && thrown.code === "CHART_VALUES" && thrown.message.includes(what),
      what,
    );
  }
});
