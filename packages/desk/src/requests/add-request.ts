import { PHOTOGRAPHERS } from "../act/actor.ts";
import { isDay } from "../act/checks.ts";
import { defineAct } from "../act/define-act.ts";
import { jsonText } from "../act/json.ts";
import { isRequestCode } from "../intake/label-code.ts";

export interface NewRequest {
  /** Printed on the shot card; made when not given. */
  readonly code?: string;
  /** Null only for non-clinical requests. */
  readonly patientId: string | null;
  readonly kind: "clinical" | "non-clinical";
  /** YYYY-MM-DD. */
  readonly dueDate?: string | null;
  /** Parts, sides, purpose, cautions, consent reached: the practice's own words. */
  readonly details?: object;
}

export const addRequest = defineAct<NewRequest, { readonly id: string; readonly code: string }>({
  name: "request.add",
  may: [...PHOTOGRAPHERS, "requester"],
  consent: "nothing leaves",
  async run(request, { writing, tables, now, newId }) {
    const id = newId();
    const code = request.code ?? `R-${id.slice(-8)}`;
    const { patientId, kind, dueDate = null } = request;
    if (!isRequestCode(code)) {
      return { refused: `Expected a code of 1 to 32 capitals, digits and hyphens, received ${code}` };
    }
    if (kind === "clinical" && patientId === null) return { refused: "A clinical request needs a patient" };
    if (dueDate !== null && !isDay(dueDate))
      return { refused: `Expected a day such as 2026-03-15, received ${dueDate}` };
    if (patientId !== null) {
      const patient = await tables
        .selectFrom("patient")
        .select("id")
        .where("id", "=", patientId)
        .executeTakeFirst();
      if (!patient) return { refused: `There is no patient ${patientId}` };
    }
    const known = await tables.selectFrom("request").select("id").where("code", "=", code).executeTakeFirst();
    if (known) return { refused: `The code ${code} is already that of request ${known.id}` };
    await writing.insert("request", {
      id,
      code,
      patient_id: patientId,
      kind,
      due_date: dueDate,
      state: "open",
      details: jsonText(request.details ?? {}),
      made_at: now,
    });
    return { value: { id, code }, deed: { act: "request.add", subject: `request/${id}`, details: { code } } };
  },
});
