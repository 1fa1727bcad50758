import { createHash } from "node:crypto";
import { SamescaleError } from "@samescale/errors";

/** What canonical JSON can hold: JSON values without undefined, NaN, infinities or broken UTF-16. */
export type Json = null | boolean | number | string | readonly Json[] | { readonly [key: string]: Json };

/**
 * One text for one value: keys sorted by UTF-16 code units, no spaces, strings and numbers as ECMAScript writes
 * them. The same value always gives the same bytes, so that a hash of them means something.
 *
 * @throws SamescaleError NOT_CANONICAL for what JSON would drop or change in silence
 * @source RFC8785 sections 3.2.2 and 3.2.3
 * @example canonicalJson({ b: 1, a: [true, "x"] }) // '{"a":[true,"x"],"b":1}'
 */
export function canonicalJson(value: Json): string {
  if (value === null || typeof value === "boolean") return String(value);
  if (typeof value === "number") {
    if (Number.isFinite(value)) return JSON.stringify(value);
  } else if (typeof value === "string") {
    if (value.isWellFormed()) return JSON.stringify(value);
  } else if (isList(value)) {
    return `[${value.map(canonicalJson).join(",")}]`;
  } else if (typeof value === "object") {
    const members = Object.keys(value)
      .sort()
      .map((key) => `${canonicalJson(key)}:${canonicalJson(value[key] as Json)}`);
    return `{${members.join(",")}}`;
  }
  throw new SamescaleError(
    "NOT_CANONICAL",
    `Expected a JSON value, received ${typeof value === "string" ? "a broken string" : String(value)}`,
    "Leave the field out, or give it as text.",
  );
}

/** Array.isArray does not narrow readonly lists. */
const isList = (value: Json): value is readonly Json[] => Array.isArray(value);

/** SHA-256 of the UTF-8 bytes, in hexadecimal. */
export function sha256Of(text: string): string {
  return createHash("sha256").update(text, "utf8").digest("hex");
}
