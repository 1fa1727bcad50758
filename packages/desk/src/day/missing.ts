import {
  type BagList,
  type ConsentRules,
  comesOfAgeOn,
  consentFor,
  type Plan,
  SCOPE_WORDS,
} from "@samescale/practice";
import { consentsFor } from "../consent/answers-of.ts";
import { consentForUse } from "../consent/consent-for-use.ts";
import type { ConsentTask } from "../consent/tasks.ts";
import type { Desk } from "../desk.ts";
import type { OpenRequest } from "./open-requests.ts";

/** One thing that is not ready for a request. */
export interface Missing {
  readonly what:
    | "plan"
    | "views"
    | "consent"
    | "refused"
    | "portrayed"
    | "capacity"
    | "majority"
    | "kit"
    | "due";
  readonly says: string;
}

/** What consent lacks for care, or of whoever is portrayed. Nothing is photographed for a record that was refused. */
export async function consentMissing(
  { library: { read, clock } }: Desk,
  { request, patientId, birthDate }: OpenRequest,
  rules: ConsentRules,
  day: string,
): Promise<readonly Missing[]> {
  const at = clock().toISOString();
  const scope = patientId === null ? "requester" : "health-record";
  const use = { scope, at, requestId: request.id, frameId: null, publication: null } as const;
  const covered = await consentForUse(read, use);
  if (covered.covered) return [];
  if (patientId === null) return [{ what: "portrayed", says: covered.why }];
  const answers = await consentsFor(read, { patientId, requestId: request.id });
  const onThis = answers.filter(
    (answer) => answer.scope === scope && (answer.requestId === null || answer.requestId === request.id),
  );
  if (onThis.length > 0) {
    const isNo = consentFor(onThis, use).covered === false && onThis.at(-1)?.answer === "refused";
    return [{ what: isNo ? "refused" : "consent", says: covered.why }];
  }
  const ofAgeOn = birthDate && comesOfAgeOn(birthDate, rules.ageOfMajority, rules.leapDayBirthday);
  const isChild = ofAgeOn !== null && ofAgeOn > day;
  const says = `Nobody has been asked about ${SCOPE_WORDS[scope]}${isChild ? "; a child: whoever has parental responsibility answers" : ""}`;
  return [{ what: "consent", says }];
}

/** What somebody has to ask again: of this request, or of all of the patient's. */
export function tasksOf({ request }: OpenRequest, tasks: readonly ConsentTask[]): readonly Missing[] {
  const mine = tasks.filter(
    (task) =>
      task.request === request.code || (task.request === null && task.patient === request.patient?.number),
  );
  return mine.flatMap(({ kind, says }): Missing[] => {
    if (kind === "capacity-regained" || kind === "ask-again") return [{ what: "capacity", says }];
    return kind === "majority-reached" || kind === "birth-date-missing" ? [{ what: "majority", says }] : [];
  });
}

export function planMissing(plan: Plan | null): readonly Missing[] {
  if (plan === null) return [{ what: "plan", says: "No plan yet" }];
  return plan.refused.map(({ view, reason }) => ({ what: "views", says: `${view.name}: ${reason}` }));
}

/** What lies in the day's bag for this request and is not as it should be. */
export function kitMissing({ request }: OpenRequest, { lines, visits }: BagList): readonly Missing[] {
  if (!visits.some(({ requestCode, carried }) => requestCode === request.code && carried)) return [];
  // A battery names what it is for: every visit of the day needs it.
  const mine = lines.filter((line) => line.group === "batteries" || line.for.includes(request.code));
  return mine.flatMap(({ what, missing, toDo }): Missing[] => [
    ...(missing === null ? [] : [{ what: "kit" as const, says: `${what}: ${missing}` }]),
    ...toDo.map((says) => ({
      what: /check is due/.test(says) ? ("due" as const) : ("kit" as const),
      says: `${what}: ${says}`,
    })),
  ]);
}
