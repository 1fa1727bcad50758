import type { Seen } from "@samescale/record";
import { seenFrames, seenRequests, type Tables } from "../access/seeing.ts";
import { type Actor, PHOTOGRAPHERS } from "../act/actor.ts";

/**
 * What somebody finds: the requests that they know of, their patients and frames. An auditor finds frames as well,
 * without seeing a picture. The facets lead those who see little to it at once; the conditions decide.
 */
export async function seenInLists(tables: Tables, actor: Actor, now: string): Promise<Seen> {
  const knowsAll = actor.role === "auditor" || PHOTOGRAPHERS.includes(actor.role);
  return {
    request: seenRequests(actor, now),
    frame: actor.role === "auditor" ? (is) => is.lit(true) : seenFrames(actor, now),
    // A patient is known to whoever knows of one of their requests.
    patient: (is) =>
      knowsAll
        ? is.lit(true)
        : is.exists(
            is
              .selectFrom("request")
              .select("request.id")
              .whereRef("request.patient_id", "=", "patient.id")
              .where((of) => seenRequests(actor, now)(of)),
          ),
    among: knowsAll ? null : await facetsOf(tables, actor, now),
  };
}

async function facetsOf(tables: Tables, { role, personId }: Actor, now: string) {
  const me = personId ?? "nobody";
  const opened = await tables
    .selectFrom("access_grant")
    .select("request_id")
    .where("actor", "=", me)
    .where("until", ">", now)
    .execute();
  return {
    for: role === "viewer" ? ["open", me] : [me],
    request: opened.map(({ request_id }) => request_id),
  };
}
