import type { BagFile } from "@samescale/exchange";
import { type Library, rowText, sha256Of } from "@samescale/record";
import type { ExtractedLine } from "./log-extract.ts";

/** Rows that say whose the frames are and how they came to be; those of results lie in derivatives.ts. */
export interface RowsWanted {
  readonly frameIds: readonly string[];
  readonly originals: readonly string[];
  readonly requestId: string | null;
  readonly consentIds: readonly string[];
}

interface NamedRow {
  readonly name: string;
  readonly text: string;
}

/** The rows as the log seals them: the SHA-256 of each of these texts stands in a line of the log. */
export async function rowsOf({ read }: Pick<Library, "read">, wanted: RowsWanted): Promise<NamedRow[]> {
  const { frameIds, originals, requestId, consentIds } = wanted;
  const rows: NamedRow[] = [];
  const add = (table: string, found: readonly { readonly id?: string; readonly sha256?: string }[]) =>
    rows.push(...found.map((row) => ({ name: `${table}/${row.id ?? row.sha256}`, text: rowText(row) })));
  const of = (ids: readonly string[]) => (ids.length === 0 ? [""] : [...ids]);
  const frames = await read.selectFrom("frame").selectAll().where("id", "in", of(frameIds)).execute();
  add("frame", frames);
  add("file", await read.selectFrom("file").selectAll().where("sha256", "in", of(originals)).execute());
  const intakes = [...new Set(frames.map(({ intake_id }) => intake_id))];
  add("intake", await read.selectFrom("intake").selectAll().where("id", "in", of(intakes)).execute());
  add("consent", await read.selectFrom("consent").selectAll().where("id", "in", of(consentIds)).execute());
  if (requestId === null) return rows;
  add("request", await read.selectFrom("request").selectAll().where("id", "=", requestId).execute());
  for (const table of ["plan", "visit", "release"] as const) {
    add(table, await read.selectFrom(table).selectAll().where("request_id", "=", requestId).execute());
  }
  return rows;
}

/** Those whose last state is sealed by a line that goes along: the others could not be checked. */
export function sealedFiles(rows: readonly NamedRow[], lines: readonly ExtractedLine[]): BagFile[] {
  const log = lines.map(({ line }) => line).join("");
  return rows
    .filter(({ text }) => log.includes(sha256Of(text)))
    .map(({ name, text }) => ({ path: `rows/${name.replace("/", "-")}.json`, bytes: Buffer.from(text) }));
}
