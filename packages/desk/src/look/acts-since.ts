import type { Desk } from "../desk.ts";

/** More at once tells nobody more: whoever missed that many looks at everything anew. */
const MOST = 500;

export interface ActsSince {
  /** In the order of the log; `kind` is the first part of the act's name: `request`, `frame`, `consent` … */
  readonly acts: readonly { readonly entry: number; readonly kind: string }[];
  /** The log's last entry now; 0: none yet. */
  readonly last: number;
}

/**
 * What came into the custody log after an entry, by kinds only: enough for an open page to know what to ask for anew,
 * too little to tell anybody anything.
 */
export async function actsSince({ library }: Desk, entry: number): Promise<ActsSince> {
  const newest = await library.read
    .selectFrom("act")
    .select("sequence")
    .orderBy("sequence", "desc")
    .limit(1)
    .executeTakeFirst();
  const last = newest?.sequence ?? 0;
  if (entry >= last) return { acts: [], last };
  const rows = await library.read
    .selectFrom("act")
    .select(["sequence", "act"])
    .where("sequence", ">", Math.max(entry, last - MOST))
    .orderBy("sequence")
    .execute();
  return {
    acts: rows.map(({ sequence, act }) => ({ entry: sequence, kind: act.split(".")[0] ?? act })),
    last: rows.at(-1)?.sequence ?? last,
  };
}

/** When the last act was done, ISO 8601 in UTC; null: none yet. */
export async function lastActAt({ library }: Desk): Promise<string | null> {
  const newest = await library.read
    .selectFrom("act")
    .select("time")
    .orderBy("sequence", "desc")
    .limit(1)
    .executeTakeFirst();
  return newest?.time ?? null;
}
