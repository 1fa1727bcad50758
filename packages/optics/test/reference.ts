import { existsSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";

const FOLDER = new URL("../../../../shared/reference/", import.meta.url);

/** The text of a reference table beside the repository, or null where it is not there: tests then say so and skip. */
export function referenceText(name: string): string | null {
  const path = fileURLToPath(new URL(name, FOLDER));
  return existsSync(path) ? readFileSync(path, "utf8") : null;
}

/** What a skipped test says. */
export const ABSENT = "the reference tables are not beside this repository";

/** Rows of a CSV text by column name; quoted cells may hold commas. */
export function csvRows(text: string): Record<string, string>[] {
  const [header = [], ...rows] = text.trim().split(/\r?\n/).map(cells);
  return rows.map((row) => Object.fromEntries(header.map((name, i) => [name, row[i] ?? ""])));
}

function cells(line: string): string[] {
  return [...line.matchAll(/(?:^|,)(?:"((?:[^"]|"")*)"|([^,]*))/g)].map(
    ([, quoted, plain]) => quoted?.replaceAll('""', '"') ?? plain ?? "",
  );
}

/** Half of the last digit that was printed: "2.8" gives 0.05. The most that correct rounding can be out by. */
export function halfLastDigit(printed: string): number {
  return 0.5 * 10 ** -(printed.split(".")[1]?.length ?? 0);
}
