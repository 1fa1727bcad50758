import { canonicalJson, type Json, sha256Of } from "./canonical.ts";

/** A row as canonical JSON, columns without a value left out (so that a column added later does not change it). */
export function rowText(row: Readonly<Record<string, unknown>>): string {
  const present = Object.entries(row).filter(([, value]) => value !== null && value !== undefined);
  return canonicalJson(Object.fromEntries(present) as { [key: string]: Json });
}

/**
 * SHA-256 of a row's text. The log keeps the seal of every row that an act wrote: a row changed behind the log's back no
 * longer fits the last seal that the log has of it.
 */
export const sealOf = (row: Readonly<Record<string, unknown>>): string => sha256Of(rowText(row));

/** What a row is called in the log: `frame/01J…`. */
export const rowName = (table: string, key: string): string => `${table}/${key}`;
