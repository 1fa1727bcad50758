import {
  type ConsentCapacity,
  type ConsentScope,
  isPublication,
  reaches,
  SCOPE_WORDS,
  sayWhyItFallsShort,
} from "./scopes.ts";

/** One answer to one question: may pictures be used for this scope? */
export interface ConsentAnswer {
  readonly id: string;
  readonly scope: ConsentScope;
  readonly answer: "given" | "refused";
  readonly capacity: ConsentCapacity;
  /** Whose word it is on a non-clinical request, where several may be portrayed; null: the patient's, of whom there is one. */
  readonly person: string | null;
  /** The very publication. A refusal of a publication scope may leave it out: then it refuses every publication. */
  readonly publication: string | null;
  /** Only pictures of this request; null: all of the patient's. */
  readonly requestId: string | null;
  /** Only these pictures; null: all of the request. */
  readonly frames: readonly string[] | null;
  /** ISO 8601 with its zone. */
  readonly givenAt: string;
  /** Last day on which it holds, YYYY-MM-DD, counted in UTC; null: no end was agreed. */
  readonly until: string | null;
  /** ISO 8601 with its zone. */
  readonly withdrawnAt: string | null;
}

/** What somebody wants to do with one picture now. */
export interface UseWanted {
  readonly scope: ConsentScope;
  /** ISO 8601 with its zone. */
  readonly at: string;
  readonly requestId: string;
  /** Null: something that shows the request as a whole; it is covered when every picture of it is. */
  readonly frameId: string | null;
  /** Named for the publication scopes. */
  readonly publication: string | null;
  /** Who must have agreed, on a non-clinical request: everybody portrayed in this picture. */
  readonly persons?: readonly string[];
}

export type Covered =
  | { readonly covered: true; readonly consentId: string; readonly consentIds: readonly string[] }
  | { readonly covered: false; readonly why: string };

/**
 * Whether consent reaches as far as this use. Of everything that was ever said on this scope, request, picture and (to
 * publish) this very publication, the newest word decides; words of one moment must all allow. A yes also needs
 * its last day, its capacity, and that it was not withdrawn. Several persons: each must allow.
 *
 * Doubt refuses. A yes from the future of `at` is not heard. A no or a withdrawal from the future of `at` is: it is on
 * record, so the clock has jumped back. A no that names a picture follows it into another request; a yes does not.
 */
export function consentFor(answers: readonly ConsentAnswer[], wanted: UseWanted): Covered {
  if (isPublication(wanted.scope) && !wanted.publication) {
    return refused(
      `Consent for ${SCOPE_WORDS[wanted.scope]} names the very publication: say which one it is`,
    );
  }
  if (!timesRead(answers, wanted)) return refused("A time of the consents on record cannot be read");
  const consentIds = new Set<string>();
  for (const frame of framesMeant(answers, wanted)) {
    const concerning = answers.filter((answer) => concerns(answer, wanted, frame));
    const persons = new Set([...(wanted.persons ?? []), ...concerning.map(({ person }) => person)]);
    if (persons.size === 0) return refused(`No consent was given for ${SCOPE_WORDS[wanted.scope]}`);
    for (const person of persons) {
      const decided = newestWord(
        concerning.filter((answer) => answer.person === person),
        wanted,
      );
      if (!decided.covered) return person === null ? decided : refused(`${person}: ${decided.why}`);
      for (const id of decided.consentIds) consentIds.add(id); // said at one moment, all of them bind
    }
  }
  const [consentId] = consentIds;
  return { covered: true, consentId: consentId!, consentIds: [...consentIds] };
}

/** A picture that no answer names. */
const ANY_OTHER = null;

/** For the request as a whole: each picture that some answer names, and those that none names. */
function framesMeant(answers: readonly ConsentAnswer[], { frameId }: UseWanted): readonly (string | null)[] {
  if (frameId !== null) return [frameId];
  return [ANY_OTHER, ...new Set(answers.flatMap(({ frames }) => frames ?? []))];
}

function concerns(answer: ConsentAnswer, wanted: UseWanted, frame: string | null): boolean {
  if (answer.scope !== wanted.scope) return false;
  const otherPublication = answer.publication !== null && answer.publication !== wanted.publication;
  if (isPublication(wanted.scope) && otherPublication) return false;
  const named = answer.frames !== null && frame !== ANY_OTHER && answer.frames.includes(frame);
  if (named && isNo(answer)) return true;
  const ofRequest = answer.requestId === null || answer.requestId === wanted.requestId;
  return ofRequest && (named || answer.frames === null);
}

const isNo = ({ answer, withdrawnAt }: ConsentAnswer) => answer === "refused" || withdrawnAt !== null;

interface Word {
  readonly answer: ConsentAnswer;
  readonly kind: "given" | "refused" | "withdrawn";
  readonly time: number;
}

function wordsOf(answer: ConsentAnswer): Word[] {
  const words: Word[] = [{ answer, kind: answer.answer, time: Date.parse(answer.givenAt) }];
  if (answer.withdrawnAt !== null) {
    words.push({ answer, kind: "withdrawn", time: Date.parse(answer.withdrawnAt) });
  }
  return words;
}

function newestWord(answers: readonly ConsentAnswer[], wanted: UseWanted): Covered {
  const at = Date.parse(wanted.at);
  const words = answers.flatMap(wordsOf);
  const heard = words.filter(({ kind, time }) => kind !== "given" || time <= at);
  if (heard.length === 0) {
    const when = words.length === 0 ? "" : ` before ${dayOf(wanted.at)}`;
    return refused(`No consent was given for ${SCOPE_WORDS[wanted.scope]}${when}`);
  }
  const newest = Math.max(...heard.map(({ time }) => time));
  const deciding = heard.filter(({ time }) => time === newest);
  for (const word of deciding) {
    const why = whyNot(word, wanted);
    if (why !== null) return refused(why);
  }
  const consentIds = deciding.map(({ answer }) => answer.id);
  return { covered: true, consentId: consentIds[0]!, consentIds };
}

function whyNot({ answer, kind }: Word, { scope, at }: UseWanted): string | null {
  const consent = `Consent for ${SCOPE_WORDS[scope]}`;
  if (kind === "refused") return `${consent} was refused on ${dayOf(answer.givenAt)}`;
  if (answer.withdrawnAt !== null) return `${consent} was withdrawn on ${dayOf(answer.withdrawnAt)}`;
  if (isPublication(scope) && answer.publication === null) return `${consent} names no publication`;
  if (!reaches(answer.capacity, scope)) return `${consent} ${sayWhyItFallsShort(answer.capacity)}`;
  if (answer.until !== null && dayOf(at) > answer.until) return `${consent} ended with ${answer.until}`;
  return null;
}

const dayOf = (time: string) => new Date(time).toISOString().slice(0, 10);

const timesRead = (answers: readonly ConsentAnswer[], { at }: UseWanted) =>
  [at, ...answers.flatMap(({ givenAt, withdrawnAt }) => [givenAt, withdrawnAt ?? givenAt])].every(
    (time) => !Number.isNaN(Date.parse(time)),
  );

const refused = (why: string): Covered => ({ covered: false, why });
