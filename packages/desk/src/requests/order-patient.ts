import type { IncomingOrder } from "@samescale/exchange";
import { isPlainText } from "../act/checks.ts";
import type { ActContext } from "../act/define-act.ts";
import { jsonText } from "../act/json.ts";
import { isSameName, whyNotSame } from "./same-patient.ts";

/** The patient of an order in this library, new ones with their row; or why it is not certain whose order it is. */
export type OrderPatient =
  | {
      readonly id: string | null;
      readonly row: PatientRow | null;
      readonly notes: readonly string[];
    }
  | { readonly refused: string };

interface PatientRow {
  readonly id: string;
  readonly number: string;
  readonly authority: string;
  readonly name: string;
  readonly birth_date: string | null;
  readonly details: string;
  readonly made_at: string;
}

type Patient = NonNullable<IncomingOrder["patient"]>;

/**
 * Finds the order's patient by number and authority, and asks for a second identifier to agree: the date of birth, or
 * where there is none on either side the name. What disagrees is left to a person; a name alone that changed, with the
 * same date of birth, is taken and noted. Common practice, no source: two identifiers, never one.
 * @param authorityOf the practice's name for whoever gave the number
 */
export async function patientOfOrder(
  order: IncomingOrder,
  authorityOf: (said: string) => string,
  { tables, now, newId }: ActContext,
): Promise<OrderPatient> {
  const said = order.patient;
  if (said === null) return { id: null, row: null, notes: [] };
  const authority = authorityOf(said.authority);
  const name = nameOf(said);
  if (![said.number, authority, name].every(isPlainText)) {
    return { refused: "The patient's number, authority or name is not plain text" };
  }
  const known = await tables
    .selectFrom("patient")
    .selectAll()
    .where("authority", "=", authority)
    .where("number", "=", said.number)
    .executeTakeFirst();
  if (!known) {
    const id = newId();
    const { number, birthDate: birth_date } = said;
    return {
      id,
      row: {
        id,
        number,
        authority,
        name,
        birth_date,
        details: jsonText({ familyName: said.familyName, givenName: said.givenName }),
        made_at: now,
      },
      notes: [],
    };
  }
  const against = whyNotSame(
    said.number,
    { name: known.name, birthDate: known.birth_date },
    { name, birthDate: said.birthDate },
  );
  if (against !== null) return { refused: against };
  const notes = isSameName(known.name, name) ? [] : [`The order gives the name ${name}`];
  return { id: known.id, row: null, notes };
}

const nameOf = ({ givenName, familyName }: Patient): string => `${givenName} ${familyName}`.trim();
