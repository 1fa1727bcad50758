import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { SamescaleError } from "@samescale/errors";
import type { S3Address } from "../originals/s3/place.ts";

export const PLACES_FILE = "places.json";

/** Where a library keeps what is not in its own folder. Never a password or a key: those have places of their own. */
export interface Places {
  /** `postgresql://USER@HOST/DATABASE`; null: SQLite in the folder. */
  readonly tables: string | null;
  /** Null: folders in the folder. */
  readonly originals: S3Address | null;
  /** Bound of the local copies of what lies in the store. */
  readonly cacheBytes: number;
}

const CACHE_BYTES = 20e9;

/** What places.json may hold, field by field. */
const FIELDS: Readonly<Record<string, "string" | "boolean" | "number">> = {
  tables: "string",
  originals: "string",
  endpoint: "string",
  region: "string",
  pathStyle: "boolean",
  sendChecksums: "boolean",
  allowPlainHttp: "boolean",
  cacheBytes: "number",
};

/** Null where the folder says nothing: everything is in it. @throws SamescaleError PLACES_INVALID */
export async function placesOf(folder: string): Promise<Places | null> {
  const file = join(folder, PLACES_FILE);
  const text = await readFile(file, "utf8").catch((thrown) => {
    if (thrown.code === "ENOENT") return null;
    throw thrown;
  });
  if (text === null) return null;
  try {
    return placesIn(JSON.parse(text));
  } catch (thrown) {
    if (!(thrown instanceof SyntaxError)) throw thrown;
    throw invalid(`${file} is not JSON`); // what the parser says repeats the text
  }
}

/** @throws SamescaleError PLACES_INVALID; its message names fields and never repeats a value */
export function placesIn(said: unknown): Places {
  if (typeof said !== "object" || said === null || Array.isArray(said))
    throw invalid("It is not a JSON object");
  const given = said as Record<string, never>;
  for (const [name, value] of Object.entries(given)) {
    const type = Object.hasOwn(FIELDS, name) ? FIELDS[name] : undefined;
    if (type === undefined) throw invalid("It has a field that is not known");
    if (typeof value !== type) throw invalid(`The field ${name} is not a ${type}`);
  }
  const { tables = null, originals, endpoint, cacheBytes = CACHE_BYTES, ...more } = given;
  if (tables === null && originals === undefined) throw invalid("It names neither tables nor originals");
  if ((originals === undefined) !== (endpoint === undefined)) {
    throw invalid("The fields originals and endpoint belong together, one of them is missing");
  }
  if (!(cacheBytes >= 0 && Number.isFinite(cacheBytes))) throw invalid("The field cacheBytes is below zero");
  const store = originals === undefined ? null : { ...more, originals, endpoint: endpoint as never };
  return { tables, originals: store, cacheBytes };
}

/** As places.json holds it. */
export function placesText({ tables, originals, cacheBytes }: Places): string {
  const said = { ...(tables === null ? {} : { tables }), ...originals, cacheBytes };
  return `${JSON.stringify(said, null, 2)}\n`;
}

function invalid(what: string): SamescaleError {
  return new SamescaleError(
    "PLACES_INVALID",
    `${what}: what says where tables and originals are kept`,
    "Correct it; docs/department.md has an example.",
  );
}
