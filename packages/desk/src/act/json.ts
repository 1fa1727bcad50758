import { canonicalJson, type Json } from "@samescale/record";

/** Any plain object or value as canonical JSON text; members that are undefined are left out. */
export function jsonText(value: unknown): string {
  return canonicalJson(JSON.parse(JSON.stringify(value ?? null)) as Json);
}
