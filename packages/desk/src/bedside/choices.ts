import { seenRequests } from "../access/seeing.ts";
import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import { listRequests } from "../requests/list-requests.ts";

/** A request whose frames can be watched: it is open and planned. */
export interface BedsideChoice {
  readonly code: string;
  readonly title: string;
  /** Local time of today's appointment, `HH:MM`; null: none today. */
  readonly todayAt: string | null;
  readonly dueDate: string | null;
}

/** No page lists more to choose from. */
const MOST = 60;

/** What may be made now: today's appointments by their time, then what is due first. */
export async function bedsideChoices(desk: Desk, actor: Actor): Promise<readonly BedsideChoice[]> {
  const now = desk.library.clock().toISOString();
  const planned = await desk.library.read
    .selectFrom("request")
    .innerJoin("plan", "plan.request_id", "request.id")
    .select(["request.code", "request.details"])
    .distinct()
    .where("request.state", "=", "open")
    .where(seenRequests(actor, now))
    .execute();
  const detailsOf = new Map(planned.map(({ code, details }) => [code, details]));
  const open = await listRequests(desk, actor, "open");
  return open
    .filter(({ code }) => detailsOf.has(code))
    .map(({ code, title, dueDate }) => {
      const { bookedAt = [] } = JSON.parse(detailsOf.get(code)!) as { bookedAt?: readonly string[] };
      const todayAt = bookedAt.find((at) => at.startsWith(now.slice(0, 10)))?.slice(11, 16) ?? null;
      return { code, title, todayAt, dueDate };
    })
    .sort((a, b) => (a.todayAt ?? "99").localeCompare(b.todayAt ?? "99"))
    .slice(0, MOST);
}
