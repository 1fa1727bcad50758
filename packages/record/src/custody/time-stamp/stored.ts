import type { Kysely } from "kysely";
import type { Schema } from "../../tables/schema.ts";

/** A kept reply of a time-stamping authority about a signed head. */
export interface TimeStamp {
  readonly id: string;
  /** Of the head that is stamped: `signedHeadText` is what the imprint is of. */
  readonly size: number;
  /** The reply as it came, DER. */
  readonly reply: Uint8Array;
  readonly madeAt: string;
}

/** Every time stamp that was kept, by the size of its head. */
export async function timeStampsOf(db: Pick<Kysely<Schema>, "selectFrom">): Promise<TimeStamp[]> {
  const rows = await db.selectFrom("time_stamp").selectAll().orderBy("size").orderBy("id").execute();
  return rows.map(({ id, size, reply, made_at }) => ({
    id,
    size,
    reply: Buffer.from(reply, "base64"),
    madeAt: made_at,
  }));
}
