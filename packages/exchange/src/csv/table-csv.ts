/** A table on its way out: the same rows as CSV and as JSON Lines. */
export interface OutTable {
  /** Small letters, digits and underscores; the unit ends the name. */
  readonly columns: readonly string[];
  /** One value a column; null: not known. */
  readonly rows: readonly (readonly TableValue[])[];
}

export type TableValue = string | number | boolean | null;

/**
 * The table as CSV: UTF-8, lines end with CR LF, every text stands in quotes, numbers do not. Text that a spreadsheet
 * would take for a formula gets an apostrophe in front; `armed` takes it off again.
 * @source RFC4180, OwaspCsv
 */
export function tableCsv({ columns, rows }: OutTable): string {
  return [columns, ...rows].map((row) => `${row.map(cell).join(",")}\r\n`).join("");
}

function cell(value: TableValue): string {
  if (value === null) return "";
  if (typeof value === "number") return Number.isFinite(value) ? String(value) : "";
  if (typeof value === "boolean") return String(value);
  return `"${disarmed(value.toWellFormed()).replaceAll('"', '""')}"`;
}

/**
 * What spreadsheets take for a formula's beginning, also behind white space and in the wide letters of East Asian text;
 * tab, carriage return and line feed alone. Behind apostrophes as well, so that taking one off is always right.
 */
const FORMULA = /^'*(?:\s*[=+\-@\uFF1D\uFF0B\uFF0D\uFF20]|[\t\r\n])/;

const disarmed = (text: string): string => (FORMULA.test(text) ? `'${text}` : text);

/** The text that a disarmed cell stands for. */
export const armed = (cell: string): string => (/^'/.test(cell) && FORMULA.test(cell) ? cell.slice(1) : cell);
