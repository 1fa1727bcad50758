import assert from "node:assert/strict";
import { test } from "node:test";
import { outlineRepeatsFromCsv } from "../../src/index.ts";

const HEAD = "thing,person,area_mm2,perimeter_mm";

test("commas or semicolons, any order of columns, other columns, a byte order mark and quotes", () => {
  const [first, second] = outlineRepeatsFromCsv(
    '\uFEFFPerson;Thing;remark;perimeter_mm;area_mm2\r\nA. N.;"heel; left";first;61.5;240\r\nB;heel;;60;231.2\r\n',
    "f.csv",
  );
  assert.deepEqual(first, { thing: "heel; left", person: "A. N.", areaMm2: 240, perimeterMm: 61.5 });
  assert.equal(second!.areaMm2, 231.2);
});

test("what is no table of outlines is refused with the place that is wrong", () => {
  const cases: readonly (readonly [string, RegExp])[] = [
    ["", /no outlines/],
    [HEAD, /no outlines/],
    ["thing,person\na,b", /no column area_mm2, perimeter_mm/],
    [`${HEAD}\na,b,1`, /not a table/],
    [`${HEAD}\na,b,1,"2`, /not a table/],
    [`${HEAD}\na,b,1,2\na,b,minus,2`, /outline 2: area_mm2 is not a number above 0/],
    [`${HEAD}\na,b,-1,2`, /outline 1: area_mm2/],
    [`${HEAD}\na,b,1,NaN`, /outline 1: perimeter_mm/],
    [`${HEAD}\na,b,1e999,2`, /outline 1: area_mm2/],
    [`${HEAD}\n,b,1,2`, /outline 1: no thing/],
    [`${HEAD}\na,,1,2`, /outline 1: no person/],
  ];
  for (const [text, message] of cases) {
    assert.throws(
      () => outlineRepeatsFromCsv(text, "f.csv"),
      { code: "REPEATS_NOT_UNDERSTOOD", message },
      text,
    );
  }
});

test("a column named like a part of every object is only a column", () => {
  const [row] = outlineRepeatsFromCsv(`__proto__,constructor,${HEAD}\nx,y,a,b,1,2`, "f.csv");
  assert.deepEqual({ ...row }, { thing: "a", person: "b", areaMm2: 1, perimeterMm: 2 });
});
