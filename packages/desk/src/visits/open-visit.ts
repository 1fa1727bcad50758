import { PHOTOGRAPHERS } from "../act/actor.ts";
import { isDay } from "../act/checks.ts";
import { defineAct } from "../act/define-act.ts";
import { jsonText } from "../act/json.ts";

export interface NewVisit {
  readonly requestId: string;
  /** YYYY-MM-DD, where the patient is. */
  readonly date: string;
  readonly details?: object;
}

/** Frames that a label frame places on this day go to this visit. A second one on a day is allowed: two attendances. */
export const openVisit = defineAct<NewVisit, { readonly id: string }>({
  name: "visit.open",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run({ requestId, date, details }, { writing, tables, now, newId }) {
    if (!isDay(date)) return { refused: `Expected a day such as 2026-03-15, received ${date}` };
    const request = await tables
      .selectFrom("request")
      .select("id")
      .where("id", "=", requestId)
      .executeTakeFirst();
    if (!request) return { refused: `There is no request ${requestId}` };
    const id = newId();
    await writing.insert("visit", {
      id,
      request_id: requestId,
      date,
      opened_by: "person",
      details: jsonText(details ?? {}),
      void_because: null,
      made_at: now,
    });
    return { value: { id }, deed: { act: "visit.open", subject: `visit/${id}`, details: { date } } };
  },
});
