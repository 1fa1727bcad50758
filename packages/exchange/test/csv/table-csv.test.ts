import assert from "node:assert/strict";
import { test } from "node:test";
import { parse } from "csv-parse/sync";
import fc from "fast-check";
import { armed, tableCsv } from "../../src/csv/table-csv.ts";
import { jsonLines } from "../../src/jsonl/json-lines.ts";

const columns = ["name", "area_mm2", "note"];
const parsed = (csv: string) =>
  parse(csv, { record_delimiter: "\r\n", relax_column_count: false }) as string[][];

/** Any UTF-16 unit, halves of characters among them; plain letters often. */
const anyUnit = fc
  .oneof(fc.integer({ min: 0, max: 0x7f }), fc.integer({ min: 0, max: 0xffff }))
  .map((unit) => String.fromCharCode(unit));

/** Text that begins as hostile text does, and any other. */
const hostile = fc
  .tuple(
    fc.constantFrom(
      "",
      "=",
      "+",
      "-",
      "@",
      "\t",
      "\r",
      "\n",
      "'",
      "''=",
      "'-",
      " =",
      "\u00A0@",
      "\uFF1D",
      '"',
      '"=',
      ",=",
    ),
    fc.string({ unit: anyUnit, maxLength: 40 }),
  )
  .map((parts) => parts.join(""));

test("any text comes back from a CSV parser, and no cell begins a formula (RFC 4180, OWASP CSV injection)", () => {
  fc.assert(
    fc.property(hostile, fc.double({ noNaN: true, noDefaultInfinity: true }), hostile, (name, area, note) => {
      const csv = tableCsv({ columns, rows: [[name, area, note]] });
      const [head, row, ...more] = parsed(csv);
      assert.deepEqual(head, columns);
      assert.equal(more.length, 0);
      assert.equal(armed(row![0]!), name.toWellFormed());
      assert.equal(armed(row![2]!), note.toWellFormed());
      assert.equal(Number(row![1]), area === 0 ? 0 : area);
      for (const text of [row![0]!, row![2]!]) {
        assert.doesNotMatch(text, /^[=+\-@\t\r\n\uFF0B\uFF0D\uFF1D\uFF20]/);
        assert.doesNotMatch(text.trim(), /^[=+\-@]/);
      }
    }),
    { numRuns: 1500 },
  );
});

test("the attacks that OWASP prints are disarmed, a negative number stays a number, what is not known stays empty", () => {
  const csv = tableCsv({
    columns,
    rows: [
      ['=1+2";=1+2', -3.25, "@SUM(1+9)*cmd|' /C calc'!A0"],
      ["plain", null, 'two\r\nlines, one "quoted"'],
      ["nobody", Number.POSITIVE_INFINITY, null],
    ],
  });
  assert.equal(
    csv,
    '"name","area_mm2","note"\r\n' +
      '"\'=1+2"";=1+2",-3.25,"\'@SUM(1+9)*cmd|\' /C calc\'!A0"\r\n' +
      '"plain",,"two\r\nlines, one ""quoted"""\r\n' +
      '"nobody",,\r\n',
  );
});

test("JSON Lines hold the same rows, a line each, whatever the text", () => {
  fc.assert(
    fc.property(fc.array(fc.tuple(hostile, fc.integer(), hostile), { maxLength: 5 }), (rows) => {
      const lines = jsonLines({ columns, rows }).split("\n");
      assert.equal(lines.pop(), "");
      assert.deepEqual(
        lines.map((line) => Object.values(JSON.parse(line) as object)),
        rows.map(([name, area, note]) => [name.toWellFormed(), area, note.toWellFormed()]),
      );
    }),
    { numRuns: 300 },
  );
});
