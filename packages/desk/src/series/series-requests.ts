import { type RequestDetails, titleOf } from "@samescale/practice";
import { seenRequests } from "../access/seeing.ts";
import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";

/** A request whose pictures were made on more than one day. */
export interface SeriesRequest {
  readonly code: string;
  readonly title: string;
  readonly visits: number;
  readonly lastVisit: string | null;
}

/** No list is longer; a request that is not in it is found by its code. */
const MOST = 200;

/** The requests that they know of with two visits or more, those seen last in front. */
export async function seriesRequests({ library }: Desk, actor: Actor): Promise<readonly SeriesRequest[]> {
  const rows = await library.read
    .selectFrom("request")
    .innerJoin("visit", "visit.request_id", "request.id")
    .select(["request.code", "request.details"])
    .select((of) => [of.fn.count<number>("visit.id").as("visits"), of.fn.max("visit.date").as("last")])
    .where("visit.void_because", "is", null)
    .where(seenRequests(actor, library.clock().toISOString()))
    .groupBy(["request.id", "request.code", "request.details"])
    .having((of) => of.fn.count("visit.id"), ">", 1)
    .orderBy("last", "desc")
    .limit(MOST)
    .execute();
  return rows.map(({ code, details, visits, last }) => {
    const said = JSON.parse(details) as Partial<RequestDetails>;
    const title = titleOf({ ...said, parts: said.parts ?? [] } as RequestDetails);
    return { code, title, visits: Number(visits), lastVisit: last };
  });
}
