import type { Plan } from "@samescale/practice";
import type { Desk } from "../desk.ts";

/** The newest plan of each request that has one in a shape that this version reads. */
export async function newestPlans(desk: Desk, requestIds: readonly string[]): Promise<Map<string, Plan>> {
  if (requestIds.length === 0) return new Map();
  const rows = await desk.library.read
    .selectFrom("plan")
    .select(["request_id", "body"])
    .where("request_id", "in", requestIds)
    .where("format", "=", "views/2")
    .where((is) =>
      is.not(
        is.exists(
          is
            .selectFrom("plan as later")
            .select("later.id")
            .whereRef("later.request_id", "=", "plan.request_id")
            .whereRef("later.revision", ">", "plan.revision")
            .where("later.format", "=", "views/2"),
        ),
      ),
    )
    .execute();
  return new Map(rows.map((row) => [row.request_id, JSON.parse(row.body) as Plan]));
}
