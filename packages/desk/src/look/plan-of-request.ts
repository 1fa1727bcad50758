import type { Plan } from "@samescale/practice";
import { seenRequests } from "../access/seeing.ts";
import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";

/** The plan as it was last saved; null when there is none in a shape that this version reads, or none that they may see. */
export async function planOfRequest(
  { library }: Desk,
  actor: Actor,
  requestId: string,
): Promise<Plan | null> {
  const row = await library.read
    .selectFrom("plan")
    .innerJoin("request", "request.id", "plan.request_id")
    .select(["plan.format", "plan.body"])
    .where("plan.request_id", "=", requestId)
    .where(seenRequests(actor, library.clock().toISOString()))
    .orderBy("plan.revision", "desc")
    .executeTakeFirst();
  return row?.format === "views/2" ? (JSON.parse(row.body) as Plan) : null;
}
