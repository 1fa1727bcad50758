import { PHOTOGRAPHERS } from "../act/actor.ts";
import { isDay, isPlainText } from "../act/checks.ts";
import { defineAct } from "../act/define-act.ts";

export interface CapacityRegained {
  readonly patientId: string;
  /** Day from which they can decide, YYYY-MM-DD. */
  readonly on: string;
  readonly assessedBy: string;
  /** What they found, and how. */
  readonly found: string;
}

/** Others had decided for this patient; now they can decide themselves, and are to be asked (tasks.ts). */
export const noteCapacityRegained = defineAct<CapacityRegained, { readonly id: string }>({
  name: "capacity.regained",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run({ patientId, on, assessedBy, found }, { writing, tables, now, newId }) {
    if (!isDay(on) || on > now.slice(0, 10)) {
      return { refused: `Expected a day such as 2026-03-15, today or before, received ${on}` };
    }
    if (!isPlainText(assessedBy) || !isPlainText(found)) {
      return { refused: "Who assessed it, and what they found, have to be said in plain text" };
    }
    const patient = await tables
      .selectFrom("patient")
      .select("id")
      .where("id", "=", patientId)
      .executeTakeFirst();
    if (!patient) return { refused: `There is no patient ${patientId}` };
    const id = newId();
    await writing.insert("capacity", {
      id,
      patient_id: patientId,
      regained_on: on,
      assessed_by: assessedBy,
      basis: found,
      made_at: now,
    });
    return { value: { id }, deed: { act: "capacity.regained", subject: `patient/${patientId}` } };
  },
});
