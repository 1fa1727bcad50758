import { type Kysely, sql } from "kysely";
import type { Schema } from "../tables/schema.ts";

/** Documents of one second; with 32 bits of seconds the key stays a number that JavaScript holds exactly. */
const IN_A_SECOND = 2 ** 20;
const LAST_SECOND = 2 ** 32;

/** The lowest key of a moment. Times are ISO 8601, in UTC or local without a zone: lists by day need no more. */
export function keyOfTime(time: string): number {
  const seconds = Math.floor(Date.parse(/Z$|[+-]\d\d:\d\d$/.test(time) ? time : `${time}Z`) / 1000);
  const within = Number.isFinite(seconds) ? Math.min(Math.max(seconds, 0), LAST_SECOND - 1) : 0;
  return within * IN_A_SECOND;
}

/** The lowest key of a day, YYYY-MM-DD, and that of the day after. */
export const keysOfDay = (day: string): { readonly from: number; readonly until: number } => {
  const from = keyOfTime(`${day}T00:00:00`);
  return { from, until: from + 86_400 * IN_A_SECOND };
};

/** Whether this key stands for this moment. */
export const isKeyOf = (key: number, time: string): boolean =>
  Math.floor(key / IN_A_SECOND) * IN_A_SECOND === keyOfTime(time);

/** A key for each of these moments that no document has. */
export async function freeKeys(db: Kysely<Schema>, times: readonly string[]): Promise<number[]> {
  const firsts = [...new Set(times.map(keyOfTime))];
  if (firsts.length === 0) return [];
  const moments = sql.join(firsts.map((first) => sql`(cast(${first} as bigint))`));
  const { rows } = await sql<{ first: number; last: number | null }>`
    with moment (first) as (values ${moments})
    select first, (select max(key) from search_document where key >= first and key < first + ${sql.lit(IN_A_SECOND)})
      as last from moment`.execute(db);
  const next = new Map(
    rows.map(({ first, last }) => [Number(first), last === null ? first : Number(last) + 1]),
  );
  return times.map((time) => {
    const first = keyOfTime(time);
    const key = next.get(first) ?? first;
    next.set(first, key + 1);
    return key;
  });
}
