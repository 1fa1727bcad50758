import { CLINICAL } from "../act/actor.ts";
import { isPlainText } from "../act/checks.ts";
import { type ActContext, defineAct } from "../act/define-act.ts";
import { maySeeRequest } from "./seeing.ts";

/** Long enough for a night's emergency, over before the next day's work; common practice, no source. */
const EMERGENCY_HOURS = 4;
const HOUR_MS = 3_600_000;

export interface Emergency {
  /** Two identifiers of the patient who is there, as at the bedside: a number alone opens nothing. */
  readonly patientNumber: string;
  /** Date of birth, YYYY-MM-DD, or the name where no date is on record. */
  readonly birthDateOrName: string;
  readonly because: string;
}

export interface Opened {
  readonly until: string;
  readonly requests: readonly { readonly id: string; readonly code: string }[];
}

/** One sentence for a patient who is not here, a date that is not theirs, and nothing that is hidden. */
const NOTHING = "Nothing is hidden from you of a patient with this number and this date of birth or name";

/**
 * Opens what is hidden of a patient, for a time, to somebody who meets patients: told to the lead and the auditors until
 * one of them has looked into it. Who learns here that something was hidden stands in their list.
 */
export const openInEmergency = defineAct<Emergency, Opened>({
  name: "access.emergency",
  may: CLINICAL,
  consent: "nothing leaves",
  async run({ patientNumber, birthDateOrName, because }, context) {
    const { writing, actor, now, newId } = context;
    if (!isPlainText(because) || because.trim().length < 10) {
      return { refused: "Opening in an emergency needs a reason that somebody else can follow" };
    }
    if (actor.personId == null) return { refused: "Opening in an emergency needs an account" };
    const hidden = await hiddenRequests(context, patientNumber, birthDateOrName);
    if (hidden.length === 0) return { refused: NOTHING };
    const until = new Date(Date.parse(now) + EMERGENCY_HOURS * HOUR_MS).toISOString();
    for (const { id: request_id } of hidden) {
      const open = { reviewed_by: null, reviewed_at: null, review: null };
      const grant = { id: newId(), actor: actor.personId, request_id, because, made_at: now, until };
      await writing.insert("access_grant", { ...grant, ...open });
    }
    const details = { because, until, requests: hidden.map(({ id }) => id) };
    const deed = { act: "access.emergency", subject: `patient/${hidden[0]?.patient_id}`, details };
    return { value: { until, requests: hidden.map(({ id, code }) => ({ id, code })) }, deed };
  },
});

/** The number may be that of another authority's patient as well: the second identifier tells them apart. */
async function hiddenRequests({ tables, actor, now }: ActContext, number: string, second: string) {
  const rows = await tables
    .selectFrom("request")
    .innerJoin("patient", "patient.id", "request.patient_id")
    .select(["request.id", "request.code", "request.patient_id", "patient.birth_date", "patient.name"])
    .where("patient.number", "=", number)
    .execute();
  const isTheirs = (row: (typeof rows)[number]) => alike(row.birth_date ?? row.name, second);
  const hidden: typeof rows = [];
  for (const row of rows.filter(isTheirs)) {
    if (!(await maySeeRequest(tables, actor, row.id, now))) hidden.push(row);
  }
  const [first] = hidden;
  return hidden.filter((row) => row.patient_id === first?.patient_id);
}

const alike = (one: string, other: string): boolean =>
  one.normalize("NFC").trim().toLowerCase() === other.normalize("NFC").trim().toLowerCase();
