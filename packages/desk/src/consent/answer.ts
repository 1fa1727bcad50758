import { createHash } from "node:crypto";
import {
  type ConsentRules,
  type ConsentScope,
  isPublication,
  SCOPE_WORDS,
  wordingFor,
} from "@samescale/practice";
import { PHOTOGRAPHERS } from "../act/actor.ts";
import { isDay, isPlainText } from "../act/checks.ts";
import { type ActContext, defineAct, type Ran } from "../act/define-act.ts";
import { jsonText } from "../act/json.ts";
import type { AnswerDetails } from "./answer-details.ts";
import { answerOf } from "./answers-of.ts";
import { accepted, type Giver } from "./giver.ts";
import { momentOf } from "./moment.ts";
import { plainName } from "./plain-name.ts";
import { type AnsweredFor, type AnsweringSubject, subjectOf } from "./subject.ts";
import { type WentOut, wentOutUnder } from "./went-out.ts";
import { endAnswer } from "./withdraw.ts";

/** One question, as it was put, and who answered it how. */
export interface NewAnswer {
  readonly of: AnsweredFor;
  readonly scope: ConsentScope;
  readonly by: Giver;
  /** The practice's: its wording for the scope is what was put. */
  readonly rules: ConsentRules;
  readonly how: "written" | "spoken";
  /** Only these pictures; they are of the request now. */
  readonly frames?: readonly string[];
  /** The very publication; a refusal without one refuses every publication. */
  readonly publication?: string;
  /** Last day, YYYY-MM-DD. */
  readonly until?: string;
  /** When they answered; without: now. */
  readonly givenAt?: string;
  /** Who took the answer; without: whoever writes it down. */
  readonly takenBy?: string;
  /** Whether the person can decide: who assessed it, and what they found. */
  readonly assessed?: { readonly by: string; readonly found: string };
  /** A yes that reached further and that this one takes the place of: it is withdrawn in the same act. */
  readonly insteadOf?: string;
}

export interface Answered {
  readonly id: string;
  /** Last day: a parent's word for what serves others ends when the patient comes of age. */
  readonly until: string | null;
  /** What has left the department and is not covered any more. */
  readonly wentOut: readonly WentOut[];
}

/** Somebody said yes. */
export const giveConsent = defineAct<NewAnswer, Answered>({
  name: "consent.give",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  run: (wanted, context) => keepAnswer("given", wanted, context),
});

/** Somebody said no. It counts from now on whatever was said before, and what went out under that is listed. */
export const refuseConsent = defineAct<NewAnswer, Answered>({
  name: "consent.refuse",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  run: (wanted, context) => keepAnswer("refused", wanted, context),
});

async function keepAnswer(
  answer: "given" | "refused",
  wanted: NewAnswer,
  context: ActContext,
): Promise<Ran<Answered>> {
  const { scope, rules, how, frames, by, assessed, until = null } = wanted;
  const { writing, tables, actor, now, newId } = context;
  const of = await subjectOf(tables, wanted.of, frames);
  if ("refused" in of) return of;
  const fault = faultOf(answer, wanted, of.isPatient);
  if (fault !== null) return { refused: fault };
  const put = wordingFor(rules, scope);
  if (put === null) {
    return { refused: `The practice has no wording for ${SCOPE_WORDS[scope]}: nobody can be asked` };
  }
  const moment = momentOf(wanted.givenAt, now);
  if ("refused" in moment) return moment;
  const day = moment.at.slice(0, 10);
  if (until !== null && until < day) return { refused: `It would end on ${until}, before it was given` };
  const taken = accepted({ answer, scope, by, assessed, day, until }, of, rules);
  if ("refused" in taken) return taken;

  const id = newId();
  const replaced = await replace(wanted, of, { id, at: moment.at, by: taken.givenBy }, context);
  if (replaced !== null) return replaced;
  const details: AnswerDetails = {
    ...taken.details,
    ...(!of.isPatient && { person: of.name }),
    how,
    text: put.text,
    textSha256: createHash("sha256").update(put.text).digest("hex"),
  };
  await writing.insert("consent", {
    id,
    patient_id: of.patientId,
    request_id: of.requestId,
    frames: frames === undefined ? null : jsonText([...new Set(frames)]),
    scope,
    answer,
    capacity: by.capacity,
    given_by: taken.givenBy,
    taken_by: wanted.takenBy ?? actor.name,
    wording: scope,
    wording_version: put.version,
    publication: wanted.publication === undefined ? null : plainName(wanted.publication),
    given_at: moment.at,
    until: taken.until,
    details: jsonText(details),
    made_at: now,
  });
  const ends = answer === "refused" ? id : wanted.insteadOf;
  const wentOut = ends === undefined ? [] : await wentOutUnder(context, ends);
  const logged = {
    scope,
    of: of.requestId === null ? `patient/${of.patientId}` : `request/${of.requestId}`,
    releases: wentOut.map(({ releaseId }) => releaseId),
  };
  const act = answer === "given" ? "consent.give" : "consent.refuse";
  return {
    value: { id, until: taken.until, wentOut },
    deed: { act, subject: `consent/${id}`, details: logged },
  };
}

/** What does not hold together in the question itself. */
function faultOf(answer: "given" | "refused", wanted: NewAnswer, isPatient: boolean): string | null {
  const { scope, publication, until, takenBy, insteadOf } = wanted;
  if (!isPatient && scope === "health-record") return "A non-clinical picture goes into no health record";
  if (!isPublication(scope) && publication !== undefined) {
    return `Consent for ${SCOPE_WORDS[scope]} names no publication`;
  }
  if (isPublication(scope) && answer === "given" && publication === undefined) {
    return `Consent for ${SCOPE_WORDS[scope]} names the very publication: say which one it is`;
  }
  if (publication !== undefined && !isPlainText(publication))
    return "The publication needs a name of plain text";
  if (takenBy !== undefined && !isPlainText(takenBy)) return "Who took the answer needs a name of plain text";
  if (until !== undefined && !isDay(until))
    return `Expected a last day such as 2027-03-15, received ${until}`;
  if (answer === "refused" && until !== undefined) return "A refusal has no last day; a new answer ends it";
  if (answer === "refused" && insteadOf !== undefined) {
    return "A refusal counts whatever was given before: it takes no other answer's place";
  }
  return null;
}

/** Ends the yes that this answer takes the place of, a moment before it: then the new one is the newest word. */
async function replace(
  { insteadOf, scope, publication }: NewAnswer,
  of: AnsweringSubject,
  { id, at, by }: { readonly id: string; readonly at: string; readonly by: string },
  context: ActContext,
): Promise<{ readonly refused: string } | null> {
  if (insteadOf === undefined) return null;
  const momentBefore = new Date(Date.parse(at) - 1).toISOString();
  const before = await context.tables
    .selectFrom("consent")
    .selectAll()
    .where("id", "=", insteadOf)
    .executeTakeFirst();
  const sameQuestion =
    before?.scope === scope &&
    before.publication === (publication === undefined ? null : plainName(publication));
  const sameSubject =
    before?.patient_id === of.patientId &&
    (of.isPatient || (before.request_id === of.requestId && answerOf(before).person === of.name));
  if (!sameQuestion || !sameSubject || before.given_at > momentBefore) {
    return { refused: `consent/${insteadOf} is no earlier answer to this question` };
  }
  const because = `consent/${id} took its place`;
  const ended = await endAnswer(context, { consentId: insteadOf, by, because, at: momentBefore });
  return "refused" in ended ? ended : null;
}
