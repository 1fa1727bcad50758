import { type Actor, PHOTOGRAPHERS } from "../act/actor.ts";
import type { Desk } from "../desk.ts";

export interface NamedPatient {
  readonly id: string;
  readonly number: string;
  readonly authority: string;
  readonly name: string;
  readonly birthDate: string | null;
}

/** The patients of this number, one for each authority that gave it. Only those who place pictures look patients up. */
export async function patientsByNumber(
  { library }: Desk,
  actor: Actor,
  number: string,
): Promise<readonly NamedPatient[]> {
  if (!PHOTOGRAPHERS.includes(actor.role)) return [];
  const rows = await library.read
    .selectFrom("patient")
    .select(["id", "number", "authority", "name", "birth_date"])
    .where("number", "=", number)
    .orderBy("authority")
    .execute();
  return rows.map(({ birth_date, ...row }) => ({ ...row, birthDate: birth_date }));
}
