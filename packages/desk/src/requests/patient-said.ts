import { isDay, isPlainText } from "../act/checks.ts";
import type { ActContext } from "../act/define-act.ts";
import { jsonText } from "../act/json.ts";
import type { NewRequest, PatientSaid } from "./new-request.ts";
import { whyNotSame } from "./same-patient.ts";

/**
 * The patient of a request filled in by hand: whom the library has under the number where a second identifier agrees, a
 * new one where it has nobody.
 */
export async function patientSaid(
  { patientId, patient }: Pick<NewRequest, "patientId" | "patient">,
  context: ActContext,
): Promise<{ readonly id: string | null } | { readonly refused: string }> {
  if (!patient) return { id: patientId };
  if (patientId !== null) return { refused: "The patient is named twice" };
  const { number, authority, name, birthDate } = patient;
  if (![number, authority, ...(name === null ? [] : [name])].every(isPlainText)) {
    return { refused: "The patient's number, authority or name is not plain text" };
  }
  if (birthDate !== null && !isDay(birthDate)) {
    return { refused: `Expected a date of birth such as 1958-11-02, received ${birthDate}` };
  }
  const known = await context.tables
    .selectFrom("patient")
    .select(["id", "name", "birth_date"])
    .where("authority", "=", authority)
    .where("number", "=", number)
    .executeTakeFirst();
  if (!known) return addNew(patient, context);
  const against = whyNotSame(number, { name: known.name, birthDate: known.birth_date }, { name, birthDate });
  if (against === null) return { id: known.id };
  // More than this would tell a requester about somebody else's patient.
  const { role } = context.actor;
  return {
    refused:
      role === "requester"
        ? "The number and the second identifier do not belong together: check both, or ask the department"
        : against,
  };
}

async function addNew(
  { number, authority, name, birthDate }: PatientSaid,
  { writing, now, newId }: ActContext,
): Promise<{ readonly id: string } | { readonly refused: string }> {
  if (name === null) return { refused: `${number} is new here: the patient's name is needed as well` };
  const id = newId();
  await writing.insert("patient", {
    id,
    number,
    authority,
    name,
    birth_date: birthDate,
    details: jsonText({}),
    made_at: now,
  });
  return { id };
}
