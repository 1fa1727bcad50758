import { type FittingNumber, type Practice, patientNumberOf } from "@samescale/practice";
import { type Actor, PHOTOGRAPHERS } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import type { PatientSaid } from "./new-request.ts";
import { whyNotSame } from "./same-patient.ts";

/** How far it is certain whom somebody means, before a request is written. */
export interface PatientStanding {
  /** The number as the department writes them; null: it fits none of its formats, or the department names none. */
  readonly fits: FittingNumber | null;
  readonly hasFormats: boolean;
  /** agrees: known, and a second identifier agrees. Hidden: not for this role. */
  readonly state: "unknown" | "known" | "agrees" | "differs" | "hidden";
  /** Name on record, once a second identifier agrees. */
  readonly name: string | null;
  readonly birthDate: string | null;
  /** Why it is not certain. */
  readonly why: string | null;
}

/**
 * What is known of a patient who is about to be named. The name on record is told only after a second identifier agreed:
 * nobody is to pick a patient from a number alone.
 */
export async function patientStanding(
  { library }: Desk,
  actor: Actor,
  { number, authority, name, birthDate }: PatientSaid,
  { patientNumberFormats: formats }: Pick<Practice, "patientNumberFormats">,
): Promise<PatientStanding> {
  const fits = patientNumberOf(number, formats);
  const told = { fits, hasFormats: formats.length > 0, name: null, birthDate: null, why: null };
  if (!PHOTOGRAPHERS.includes(actor.role)) return { ...told, state: "hidden" };
  const known = await library.read
    .selectFrom("patient")
    .select(["name", "birth_date"])
    .where("number", "=", number)
    .where("authority", "=", authority)
    .executeTakeFirst();
  if (!known) return { ...told, state: "unknown" };
  if (name === null && birthDate === null) return { ...told, state: "known" };
  const why = whyNotSame(number, { name: known.name, birthDate: known.birth_date }, { name, birthDate });
  if (why !== null) return { ...told, state: "differs", why };
  return { ...told, state: "agrees", name: known.name, birthDate: known.birth_date };
}
