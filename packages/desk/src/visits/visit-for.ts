import type { ActContext } from "../act/define-act.ts";

/** The visit that frames of this request and day belong to, and whether there was a doubt. */
export interface FoundVisit {
  readonly id: string | null;
  readonly flag: string | null;
}

/**
 * The request's visit on this day, opened when there is none. Two attendances on one day cannot be told apart by
 * the day: then no visit is chosen. Without a believable day: one visit of its own per intake.
 */
export async function visitFor(
  { writing, tables, now, newId }: ActContext,
  where: { readonly requestId: string; readonly day: string | null; readonly intakeId: string },
): Promise<FoundVisit> {
  const visits = tables
    .selectFrom("visit")
    .select("id")
    .where("request_id", "=", where.requestId)
    .where("void_because", "is", null)
    .orderBy("id");
  const found =
    where.day !== null
      ? await visits.where("date", "=", where.day).execute()
      : await visits
          .where("date", "is", null)
          .where("id", "in", (of) =>
            of
              .selectFrom("frame")
              .select("visit_id")
              .$castTo<{ visit_id: string }>()
              .where("intake_id", "=", where.intakeId),
          )
          .execute();
  const [first, second] = found;
  if (first && second)
    return { id: null, flag: `Two visits on ${where.day}: choose one by hand (${first.id}, ${second.id})` };
  if (first) return { id: first.id, flag: null };
  const id = newId();
  await writing.insert("visit", {
    id,
    request_id: where.requestId,
    date: where.day,
    opened_by: "label",
    details: "{}",
    void_because: null,
    made_at: now,
  });
  return { id, flag: null };
}
