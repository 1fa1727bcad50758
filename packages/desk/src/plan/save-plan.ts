import { PHOTOGRAPHERS } from "../act/actor.ts";
import { defineAct } from "../act/define-act.ts";
import { jsonText } from "../act/json.ts";

export interface NewPlan {
  readonly requestId: string;
  /** Name and version of the shape of `body`: `views/1`. */
  readonly format: string;
  readonly body: object;
}

/** Every saving is a new revision: what was planned when the pictures were made stays known. */
export const savePlan = defineAct<NewPlan, { readonly id: string; readonly revision: number }>({
  name: "plan.save",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run({ requestId, format, body }, { writing, tables, now, newId }) {
    if (!/^[a-z-]+\/\d+$/.test(format))
      return { refused: `Expected a format such as views/1, received ${format}` };
    const request = await tables
      .selectFrom("request")
      .select("id")
      .where("id", "=", requestId)
      .executeTakeFirst();
    if (!request) return { refused: `There is no request ${requestId}` };
    const last = await tables
      .selectFrom("plan")
      .select("revision")
      .where("request_id", "=", requestId)
      .orderBy("revision", "desc")
      .executeTakeFirst();
    const id = newId();
    const revision = (last?.revision ?? 0) + 1;
    await writing.insert("plan", {
      id,
      request_id: requestId,
      revision,
      format,
      body: jsonText(body),
      made_at: now,
    });
    return {
      value: { id, revision },
      deed: { act: "plan.save", subject: `plan/${id}`, details: { revision } },
    };
  },
});
