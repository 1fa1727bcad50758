import type { Plan } from "@samescale/practice";
import type { Desk } from "../desk.ts";

/** The plan as it was last saved; null when there is none in a shape that this version reads. */
export async function planOfRequest(desk: Desk, requestId: string): Promise<Plan | null> {
  const row = await desk.library.read
    .selectFrom("plan")
    .select(["format", "body"])
    .where("request_id", "=", requestId)
    .orderBy("revision", "desc")
    .executeTakeFirst();
  return row?.format === "views/2" ? (JSON.parse(row.body) as Plan) : null;
}
