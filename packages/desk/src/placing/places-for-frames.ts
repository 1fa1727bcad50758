import { requestDetailsOf, titleOf } from "@samescale/practice";
import { seenRequests } from "../access/seeing.ts";
import { type Actor, PHOTOGRAPHERS } from "../act/actor.ts";
import type { Desk } from "../desk.ts";

/** A request that frames may be given to, as whoever was there knows it. */
export interface PlaceForFrames {
  readonly requestId: string;
  readonly code: string;
  readonly title: string;
  readonly state: "open" | "done" | "cancelled";
  readonly patient: {
    readonly name: string;
    readonly number: string;
    readonly birthDate: string | null;
  } | null;
  /** Booked or attended on one of the days that were asked for, local time. */
  readonly thatDay: readonly string[];
  readonly visits: readonly { readonly id: string; readonly date: string | null }[];
}

/** No department has more at once; the rest is found by its code. */
const MOST = 500;

/**
 * Where waiting frames may belong: what is open, and what was attended or booked on these days, those of the days first. Nothing
 * is proposed: nobody's frames go to the nearest patient.
 * @param days YYYY-MM-DD, of the frames that wait
 */
export async function placesForFrames(
  { library }: Desk,
  actor: Actor,
  days: readonly string[],
): Promise<PlaceForFrames[]> {
  if (!PHOTOGRAPHERS.includes(actor.role)) return [];
  const rows = await library.read
    .selectFrom("request")
    .leftJoin("patient", "patient.id", "request.patient_id")
    .select(["request.id", "request.code", "request.state", "request.details"])
    .select(["patient.name", "patient.number", "patient.birth_date"])
    .where(seenRequests(actor, library.clock().toISOString()))
    .where((is) =>
      is.or([
        is("request.state", "=", "open"),
        is.exists(
          is
            .selectFrom("visit")
            .select("visit.id")
            .whereRef("visit.request_id", "=", "request.id")
            .where("visit.date", "in", ["", ...days]),
        ),
      ]),
    )
    .orderBy("request.made_at", "desc")
    .limit(MOST)
    .execute();
  const visits = await library.read
    .selectFrom("visit")
    .select(["id", "request_id", "date"])
    .where("request_id", "in", ["", ...rows.map(({ id }) => id)])
    .where("void_because", "is", null)
    .orderBy("date")
    .execute();
  const byRequest = Map.groupBy(visits, (visit) => visit.request_id);
  const places = rows.map((row): PlaceForFrames => {
    const read = requestDetailsOf(JSON.parse(row.details));
    const details = "details" in read ? read.details : null;
    const mine = byRequest.get(row.id) ?? [];
    const booked = (details?.bookedAt ?? []).filter((time) => days.includes(time.slice(0, 10)));
    const attended = mine.flatMap(({ date }) => (date !== null && days.includes(date) ? [date] : []));
    return {
      requestId: row.id,
      code: row.code,
      title: details ? titleOf(details) : row.code,
      state: row.state,
      patient:
        row.name === null || row.number === null
          ? null
          : { name: row.name, number: row.number, birthDate: row.birth_date },
      thatDay: booked.length > 0 ? booked : attended,
      visits: mine.map(({ id, date }) => ({ id, date })),
    };
  });
  return places.sort((a, b) => first(a).localeCompare(first(b)) || a.code.localeCompare(b.code));
}

/** Those of the days in front, by time. */
const first = ({ thatDay }: PlaceForFrames): string => thatDay[0] ?? "9999";
