import type { OutTable } from "../csv/table-csv.ts";

/** The table as JSON Lines: one object a line, its keys the columns, null where nothing is known. UTF-8. */
export const jsonLines = ({ columns, rows }: OutTable): string =>
  rows
    .map((row) => {
      const value = (i: number) => {
        const cell = row[i] ?? null;
        return typeof cell === "string" ? cell.toWellFormed() : cell;
      };
      return `${JSON.stringify(Object.fromEntries(columns.map((column, i) => [column, value(i)])))}\n`;
    })
    .join("");
