import { PHOTOGRAPHERS } from "../act/actor.ts";
import { isDay, isPlainText } from "../act/checks.ts";
import { defineAct } from "../act/define-act.ts";
import { jsonText } from "../act/json.ts";

export interface NewPatient {
  readonly number: string;
  /** Who gave the number: the hospital or the national register. A number alone names nobody. */
  readonly authority: string;
  readonly name: string;
  /** YYYY-MM-DD. */
  readonly birthDate: string | null;
  readonly details?: object;
}

export const addPatient = defineAct<NewPatient, { readonly id: string }>({
  name: "patient.add",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run(patient, { writing, tables, now, newId }) {
    const { number, authority, name, birthDate } = patient;
    if (![number, authority, name].every(isPlainText)) {
      return {
        refused: "A patient needs a number, the authority that gave it, and a name, each of plain text",
      };
    }
    if (birthDate !== null && !isDay(birthDate)) {
      return { refused: `Expected a date of birth such as 1958-11-02, received ${birthDate}` };
    }
    const known = await tables
      .selectFrom("patient")
      .select("id")
      .where("authority", "=", authority)
      .where("number", "=", number)
      .executeTakeFirst();
    if (known) return { refused: `${number} of ${authority} is already a patient here: ${known.id}` };
    const id = newId();
    await writing.insert("patient", {
      id,
      number,
      authority,
      name,
      birth_date: birthDate,
      details: jsonText(patient.details ?? {}),
      made_at: now,
    });
    return { value: { id }, deed: { act: "patient.add", subject: `patient/${id}` } };
  },
});
