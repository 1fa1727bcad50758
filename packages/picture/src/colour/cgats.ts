/** A CGATS text file as far as it is needed: keywords, names of the columns, rows of cells. */
export interface CgatsTable {
  readonly keywords: readonly (readonly [name: string, value: string])[];
  readonly fields: readonly string[];
  readonly rows: readonly (readonly string[])[];
}

/** A table of 24 patches with every spectral column has some 100 kB. */
const MOST_CHARACTERS = 1_000_000;

/**
 * The first table of a CGATS text file: keyword lines, BEGIN_DATA_FORMAT … END_DATA_FORMAT, BEGIN_DATA … END_DATA; cells
 * parted by blanks, quoted where they hold blanks; # begins a comment. What is wrong is answered in words.
 *
 * @source ISO28178
 */
export function cgatsTable(text: string): CgatsTable | string {
  if (text.length > MOST_CHARACTERS) return "it is far too long for a table of 24 patches";
  if (text.includes("\0")) return "it is not a text file";
  const lines = text
    .replace(/^\ufeff/, "")
    .split(/\r\n|\r|\n/)
    .map(cellsOf)
    .filter((cells) => cells.length > 0);
  const between = (begin: string, end: string): string[][] | string => {
    const from = lines.findIndex(([first]) => first?.toUpperCase() === begin);
    if (from < 0) return `${begin} is missing`;
    const to = lines.findIndex(([first], i) => i > from && first?.toUpperCase() === end);
    if (to < 0) return `${end} is missing`;
    return lines.slice(from + 1, to);
  };
  const format = between("BEGIN_DATA_FORMAT", "END_DATA_FORMAT");
  if (typeof format === "string") return format;
  const data = between("BEGIN_DATA", "END_DATA");
  if (typeof data === "string") return data;
  const fields = format.flat().map((field) => field.toUpperCase());
  if (fields.length === 0) return "it names no columns";
  // A row may run over several lines: only the number of cells tells where it ends.
  const cells = data.flat();
  if (cells.length % fields.length !== 0) {
    return `${cells.length} cells do not fill rows of ${fields.length} columns`;
  }
  const rows = Array.from({ length: cells.length / fields.length }, (_, i) =>
    cells.slice(i * fields.length, (i + 1) * fields.length),
  );
  const sets = lines.find(([first]) => first?.toUpperCase() === "NUMBER_OF_SETS")?.[1];
  if (sets !== undefined && Number(sets) !== rows.length) {
    return `NUMBER_OF_SETS says ${sets.slice(0, 20)}, but there are ${rows.length} rows`;
  }
  const head = lines.slice(
    0,
    lines.findIndex(([first]) => first?.toUpperCase() === "BEGIN_DATA"),
  );
  return { keywords: head.map(([name = "", ...value]) => [name, value.join(" ")]), fields, rows };
}

/** Cells of a line; what follows an unquoted # is a comment. */
function cellsOf(line: string): string[] {
  const cells: string[] = [];
  for (const [cell] of line.matchAll(/"[^"]*"|#.*|[^\s#"]+/g)) {
    if (cell.startsWith("#")) break;
    cells.push(cell.startsWith('"') ? cell.slice(1, -1) : cell);
  }
  return cells;
}
