import {
  type ConsentRules,
  type ConsentScope,
  comesOfAgeOn,
  daysLater,
  isCare,
  SCOPE_WORDS,
} from "@samescale/practice";
import type { Actor } from "../act/actor.ts";
import type { Outcome } from "../act/outcome.ts";
import type { Desk } from "../desk.ts";
import { detailsOf } from "./answer-details.ts";
import { type LivingAnswer, livingAnswers } from "./living-answers.ts";
import { KEEPS_LISTS } from "./recalls.ts";

/** Something that somebody has to do so that consent stays true. Computed from the record whenever it is asked for. */
export interface ConsentTask {
  readonly kind:
    | "capacity-regained"
    | "ask-again"
    | "majority-reached"
    | "birth-date-missing"
    | "consent-ends"
    | "release-ends";
  /** Day from which it is to be done, or on which something ends, YYYY-MM-DD; null: at once. */
  readonly day: string | null;
  /** Number of the patient; null on a non-clinical request. */
  readonly patient: string | null;
  /** Code of the request that the answer or the release is for; null: all of the patient's. */
  readonly request: string | null;
  readonly consentId: string | null;
  readonly releaseId: string | null;
  readonly says: string;
}

/** All that is to be done on this day: who must be asked again, what ends soon. @param day YYYY-MM-DD */
export async function consentTasks(
  { library }: Desk,
  actor: Actor,
  day: string,
  rules: ConsentRules,
): Promise<Outcome<readonly ConsentTask[]>> {
  if (!KEEPS_LISTS.includes(actor.role)) {
    return { done: false, reason: `The list of tasks is not for the role ${actor.role}` };
  }
  const horizon = daysLater(day, rules.tellDaysBefore);
  const answers = await livingAnswers(library.read, { untilFrom: day, untilTo: horizon });
  const tasks = [
    ...answers.flatMap((answer) => capacityTask(answer, day)),
    ...answers.flatMap((answer) => majorityTask(answer, day, rules)),
    ...answers.flatMap((answer) => endingTask(answer, day, horizon)),
    ...(await endingReleases(library.read, day, horizon)),
  ];
  return { done: true, value: tasks.sort((a, b) => (a.day ?? "").localeCompare(b.day ?? "")) };
}

/** Whoever can decide again is asked about what others decided for them. */
function capacityTask(answer: LivingAnswer, day: string): ConsentTask[] {
  if (answer.capacity !== "best-interest") return [];
  const scope = SCOPE_WORDS[answer.scope];
  const regained = answer.regained.find(({ on }) => on <= day && on >= answer.givenAt.slice(0, 10));
  if (regained) {
    if (answer.ownWordSince(regained.on)) return [];
    const says = `Ask the patient about ${scope}: ${answer.givenBy} decided it for them on ${answer.givenAt.slice(0, 10)}, and ${regained.assessedBy} found on ${regained.on} that they can decide`;
    return [task("capacity-regained", regained.on, answer, says)];
  }
  const { askAgainOn } = detailsOf(answer.details);
  if (askAgainOn === undefined || askAgainOn > day || answer.ownWordSince(answer.givenAt)) return [];
  const says = `Find out whether the patient can decide now about ${scope}: ${answer.givenBy} decided it for them on ${answer.givenAt.slice(0, 10)}, to be asked again from ${askAgainOn}`;
  return [task("ask-again", askAgainOn, answer, says)];
}

/** Whoever came of age is asked about what serves others and a parent allowed. */
function majorityTask(answer: LivingAnswer, day: string, rules: ConsentRules): ConsentTask[] {
  if (answer.capacity !== "parental-responsibility" || isCare(answer.scope)) return [];
  if (answer.patient === null) return [];
  const scope = SCOPE_WORDS[answer.scope];
  if (answer.birthDate === null) {
    if (answer.until !== null && answer.until < day) return [];
    const says = `Write down the date of birth: ${answer.givenBy} answered for ${scope}, which ends when the patient comes of age`;
    return [task("birth-date-missing", null, answer, says)];
  }
  const ofAgeOn = comesOfAgeOn(answer.birthDate, rules.ageOfMajority, rules.leapDayBirthday);
  const endedBefore = answer.until !== null && answer.until < daysLater(ofAgeOn, -1);
  if (ofAgeOn > day || endedBefore || answer.ownWordSince(ofAgeOn)) return [];
  const says = `Ask the patient about ${scope}: they came of age on ${ofAgeOn}, and what ${answer.givenBy} allowed for them does not go on by itself`;
  return [task("majority-reached", ofAgeOn, answer, says)];
}

function endingTask(answer: LivingAnswer, day: string, horizon: string): ConsentTask[] {
  const { until, scope } = answer;
  if (until === null || until < day || until > horizon || answer.isRenewed) return [];
  const says = `Consent for ${SCOPE_WORDS[scope]} ends with ${until}: nothing leaves under it afterwards; ask again if it is still wanted`;
  return [task("consent-ends", until, answer, says)];
}

function task(
  kind: ConsentTask["kind"],
  day: string | null,
  answer: LivingAnswer,
  says: string,
): ConsentTask {
  const { patient, request, id: consentId } = answer;
  return { kind, day, patient, request, consentId, releaseId: null, says };
}

/** Recipients whose time ends: they are to delete what they have, and to say so. */
async function endingReleases(
  tables: Desk["library"]["read"],
  day: string,
  horizon: string,
): Promise<ConsentTask[]> {
  const rows = await tables
    .selectFrom("release")
    .leftJoin("patient", "patient.id", "release.patient_id")
    .leftJoin("request", "request.id", "release.request_id")
    .select([
      "release.id",
      "release.recipient",
      "release.scope",
      "release.expires_on",
      "patient.number",
      "request.code",
    ])
    .where("release.expires_on", "<=", horizon)
    .where("release.recalled_at", "is", null)
    .where("release.taken_back_at", "is", null)
    .execute();
  return rows.map(({ id, recipient, scope, expires_on, number, code }) => {
    const ends = expires_on ?? day;
    const what = SCOPE_WORDS[scope as ConsentScope];
    const says =
      ends < day
        ? `${recipient} may not use the pictures for ${what} any more since ${ends}: ask whether they have deleted them`
        : `${recipient} may use the pictures for ${what} until ${ends}: remind them to delete them then, and to say so`;
    return {
      kind: "release-ends",
      day: ends,
      patient: number,
      request: code,
      consentId: null,
      releaseId: id,
      says,
    };
  });
}
