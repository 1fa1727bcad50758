import { PHOTOGRAPHERS } from "../act/actor.ts";
import { isPlainText } from "../act/checks.ts";
import { defineAct } from "../act/define-act.ts";
import { jsonText } from "../act/json.ts";
import { plainName } from "./plain-name.ts";

export interface Portrayed {
  readonly requestId: string;
  /** Who can be seen; of a room or a thing: who answers for it. Two of one name need something that tells them apart. */
  readonly name: string;
  /** Only in these pictures; without: may be in any of the request. */
  readonly frames?: readonly string[];
}

/** Names somebody who can be seen on a non-clinical request: from now on nothing of it leaves without their yes. */
export const namePortrayed = defineAct<Portrayed, { readonly id: string }>({
  name: "consent.portrayed",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run({ requestId, name, frames }, { writing, tables, now, newId }) {
    if (!isPlainText(name)) return { refused: "Whoever is portrayed needs a name of plain text" };
    const request = await tables
      .selectFrom("request")
      .select("patient_id")
      .where("id", "=", requestId)
      .executeTakeFirst();
    if (!request) return { refused: `There is no request ${requestId}` };
    if (request.patient_id !== null) return { refused: "On a patient's request the patient is asked" };
    const id = newId();
    await writing.insert("portrayed", {
      id,
      request_id: requestId,
      name: plainName(name),
      frames: frames === undefined ? null : jsonText([...new Set(frames)]),
      made_at: now,
    });
    return { value: { id }, deed: { act: "consent.portrayed", subject: `request/${requestId}` } };
  },
});

/** They were named by mistake; what they have answered stays. */
export const unnamePortrayed = defineAct<{ readonly id: string; readonly because: string }, null>({
  name: "consent.portrayed-void",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run({ id, because }, { writing, tables }) {
    if (!isPlainText(because)) return { refused: "Say why nobody of this name can be seen" };
    const row = await tables
      .selectFrom("portrayed")
      .select(["request_id", "void_because"])
      .where("id", "=", id)
      .executeTakeFirst();
    if (!row || row.void_because !== null) return { refused: `Nobody portrayed is ${id}` };
    await writing.update("portrayed", id, { void_because: because });
    const details = { because };
    return {
      value: null,
      deed: { act: "consent.portrayed-void", subject: `request/${row.request_id}`, details },
    };
  },
});
