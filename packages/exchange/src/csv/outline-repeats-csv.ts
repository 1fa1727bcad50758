import { SamescaleError } from "@samescale/errors";
import type { OutlineRepeat } from "@samescale/geometry";
import { CsvError, parse } from "csv-parse/sync";

const COLUMNS = ["thing", "person", "area_mm2", "perimeter_mm"] as const;
/** A department's repeats are hundreds of lines. */
const MOST_ROWS = 100_000;

/**
 * A table of repeated outlines: one line per outline with the columns thing, person, area_mm2 and perimeter_mm in any order,
 * set apart by commas or semicolons; other columns are left alone.
 * @param where what to name in errors
 * @throws REPEATS_NOT_UNDERSTOOD with the line that is wrong
 */
export function outlineRepeatsFromCsv(text: string, where: string): OutlineRepeat[] {
  const fault = (what: string, cause?: unknown) =>
    new SamescaleError(
      "REPEATS_NOT_UNDERSTOOD",
      `${where}: ${what}`,
      `Write one line per outline under the heading ${COLUMNS.join(",")}: the same thing under the same name each time.`,
      { cause },
    );
  let rows: Readonly<Record<string, string>>[];
  try {
    rows = parse(text, {
      bom: true,
      columns: (header: string[]) => header.map((name) => name.trim().toLowerCase()),
      delimiter: [",", ";", "\t"],
      skip_empty_lines: true,
      trim: true,
      to: MOST_ROWS + 1,
    });
  } catch (thrown) {
    if (!(thrown instanceof CsvError)) throw thrown;
    throw fault(`not a table (${thrown.message})`, thrown);
  }
  const [first] = rows;
  if (!first) throw fault("no outlines in it");
  if (rows.length > MOST_ROWS) throw fault(`more than ${MOST_ROWS} lines`);
  const missing = COLUMNS.filter((name) => !(name in first));
  if (missing.length > 0) throw fault(`no column ${missing.join(", ")}`);
  return rows.map((row, i) => {
    const size = (name: "area_mm2" | "perimeter_mm"): number => {
      const value = row[name]!.trim() === "" ? Number.NaN : Number(row[name]);
      if (Number.isFinite(value) && value > 0) return value;
      throw fault(`outline ${i + 1}: ${name} is not a number above 0`);
    };
    const name = (column: "thing" | "person"): string => {
      if (row[column] !== "") return row[column]!;
      throw fault(`outline ${i + 1}: no ${column}`);
    };
    return {
      thing: name("thing"),
      person: name("person"),
      areaMm2: size("area_mm2"),
      perimeterMm: size("perimeter_mm"),
    };
  });
}
