import type { ConsentCapacity, ConsentScope } from "@samescale/practice";
import type { Role } from "../../../src/act/actor.ts";
import {
  type Act,
  type Asked,
  BORN,
  DE_IDENTIFIED,
  LABEL,
  NAMES,
  PATIENT_OF_REQUEST,
  PEOPLE,
  PICTURES,
  PUBLICATIONS,
  STARTS_AT,
} from "./acts.ts";

/** What somebody said, kept as a plain note. */
export interface Said {
  readonly answer: "yes" | "no";
  readonly scope: ConsentScope;
  readonly publication: string | null;
  readonly capacity: ConsentCapacity;
  /** Who said it for whom: a patient's number, or a name on a non-clinical request. */
  readonly patient: number | null;
  readonly name: string | null;
  /** Null: all of the patient's requests. */
  readonly request: number | null;
  readonly pictures: readonly number[] | null;
  readonly at: number;
  /** Last day. */
  readonly until: string | null;
  withdrawnAt: number | null;
}

interface Picture {
  request: number | null;
  isAside: boolean;
  masksConfirmed: boolean;
}

interface Left {
  readonly request: number;
  readonly patient: number | null;
  readonly scope: ConsentScope;
  readonly publication: string | null;
  readonly pictures: readonly number[];
}

/** Why it is not allowed; or null, and which words allow it. */
interface Holds {
  readonly why: string | null;
  readonly restsOn: readonly Said[];
}

const not = (why: string): Holds => ({ why, restsOn: [] });

export type Release = Extract<Act, { is: "release" }>;

/**
 * The slow twin: what is known of the small world, as notes, and for each release a literal reading of the rules in the
 * words of the trade facts (7.1, 7.2), looking through all notes every time. It shares no code with the desk.
 */
export class LiteralModel {
  now = STARTS_AT;
  /** By the number of the act that brought it. */
  readonly said = new Map<number, Said>();
  readonly left: Left[] = [];
  readonly pictures: Picture[] = Array.from({ length: PICTURES }, (_, i) => ({
    request: i % PATIENT_OF_REQUEST.length,
    isAside: false,
    masksConfirmed: false,
  }));
  readonly cancelled = PATIENT_OF_REQUEST.map(() => false);
  readonly portrayed = new Map<
    number,
    {
      readonly request: number;
      readonly name: string;
      readonly pictures: readonly number[] | null;
      isVoid: boolean;
    }
  >();
  /** Roles of each person, the last one is in force. */
  readonly roles: Role[][] = Array.from({ length: PEOPLE }, (_, i) => [i === 1 ? "lead" : "photographer"]);

  private readonly moves: { readonly picture: number; readonly from: number | null }[][] = [];

  move(pictures: readonly number[], to: number | null): void {
    const moved = [...new Set(pictures)];
    this.moves.push(moved.map((picture) => ({ picture, from: this.pictures[picture]!.request })));
    for (const picture of moved) this.pictures[picture]!.request = to;
  }

  /** The last move by hand is taken back. */
  moveBack(): void {
    for (const { picture, from } of this.moves.pop() ?? []) this.pictures[picture]!.request = from;
  }

  picturesOf(request: number): number[] {
    return this.pictures.flatMap((picture, i) => (picture.request === request ? [i] : []));
  }

  today(): string {
    return new Date(this.now).toISOString().slice(0, 10);
  }

  roleIn({ by, stale }: Release): Role {
    const roles = this.roles[by]!;
    return (stale ? roles.at(-2) : undefined) ?? roles.at(-1)!;
  }

  /** Why it must not leave; null: it may. */
  whyItStays(release: Release): string | null {
    const { by, request, pictures, scope, publication, untilInDays } = release;
    const role = this.roleIn(release);
    if (role !== this.roles[by]!.at(-1)) return "they have another role by now";
    if (role !== "photographer" && role !== "lead") return "not in this role";
    if (this.cancelled[request]) return "the request was cancelled";
    if (new Set(pictures).size < pictures.length) return "a picture is named twice";
    if (untilInDays !== null && untilInDays < 0) return "its time is over before it begins";
    for (const picture of pictures) {
      const { request: filedIn, isAside, masksConfirmed } = this.pictures[picture]!;
      if (filedIn !== request) return `picture ${picture} is not of this request`;
      if (picture === LABEL) return "pictures of labels never leave";
      if (isAside) return `picture ${picture} is put aside`;
      if (DE_IDENTIFIED.includes(scope) && !masksConfirmed) return `nobody confirmed masks of ${picture}`;
      const { why } = this.whatHolds(scope, publicationOf(publication), request, picture);
      if (why !== null) return `picture ${picture}: ${why}`;
    }
    return null;
  }

  /** "Each scope is separate … A higher scope never follows from a lower one." */
  whatHolds(scope: ConsentScope, publication: string | null, request: number, picture: number): Holds {
    const patient = PATIENT_OF_REQUEST[request]!;
    if (scope.startsWith("publication") && publication === null) return not("no publication is named");
    const notes = [...this.said.values()].filter(
      (note) =>
        note.scope === scope &&
        note.patient === patient &&
        (!scope.startsWith("publication") || note.publication === null || note.publication === publication),
    );
    if (patient !== null) return this.lastWord(notes, request, picture);
    const seen = new Set(
      [...this.portrayed.values()]
        .filter((one) => one.request === request && !one.isVoid)
        .filter((one) => one.pictures === null || one.pictures.includes(picture))
        .map(({ name }) => name),
    );
    if (seen.size === 0) return not("nobody is named as portrayed");
    const restsOn: Said[] = [];
    // Whoever has answered for this picture is in it, whether or not somebody named them.
    for (const name of NAMES) {
      const theirs = notes.filter((note) => note.name === name && note.request === request);
      const answered = theirs.some((note) => note.pictures === null || note.pictures.includes(picture));
      if (!seen.has(name) && !answered) continue;
      const word = this.lastWord(theirs, request, picture);
      if (word.why !== null) return not(`${name}: ${word.why}`);
      restsOn.push(...word.restsOn);
    }
    return { why: null, restsOn };
  }

  /** Through the days from the first note to the last, and what held at the end. */
  private lastWord(notes: readonly Said[], request: number, picture: number): Holds {
    const moments: { at: number; why: string | null; note: Said }[] = [];
    for (const note of notes) {
      const isNo = note.answer === "no" || note.withdrawnAt !== null;
      const namesIt = note.pictures?.includes(picture) ?? false;
      const isForIt =
        (note.request === null || note.request === request) && (note.pictures === null || namesIt);
      // "A no that names a picture follows it into another request."
      if (!isForIt && !(isNo && namesIt)) continue;
      if (note.answer === "no") {
        moments.push({ at: note.at, why: "refused", note });
        continue;
      }
      if (note.at <= this.now) moments.push({ at: note.at, why: this.whyYesIsNone(note), note });
      if (note.withdrawnAt !== null) moments.push({ at: note.withdrawnAt, why: "withdrawn", note });
    }
    const days = [...new Set(moments.map(({ at }) => at))].sort((a, b) => a - b);
    let holds = not("nobody has said yes");
    for (const day of days) {
      const that = moments.filter(({ at }) => at === day);
      const against = that.find(({ why }) => why !== null);
      holds = against ? not(against.why!) : { why: null, restsOn: that.map(({ note }) => note) };
    }
    return holds;
  }

  private whyYesIsNone({ withdrawnAt, until, capacity, scope, publication }: Said): string | null {
    if (withdrawnAt !== null) return "withdrawn";
    if (until !== null && this.today() > until) return `ended with ${until}`;
    if (scope.startsWith("publication") && publication === null) return "names no publication";
    const forCare = scope === "health-record" || scope === "requester";
    if (capacity === "best-interest" && !forCare) return "best interest is for care only";
    if (capacity === "legal-basis" && scope !== "evidence") return "a legal basis is for evidence only";
    if (capacity === "parental-responsibility" && scope === "evidence") return "not for a parent to give";
    return null;
  }

  /** The last day on which a recipient may use it: no later than any yes that it rests on. */
  lastDayOf({ scope, publication, request, pictures, untilInDays }: Release): string | null {
    const days: string[] = untilInDays === null ? [] : [this.dayIn(untilInDays)];
    for (const picture of pictures) {
      const { restsOn } = this.whatHolds(scope, publicationOf(publication), request, picture);
      days.push(...restsOn.flatMap(({ until }) => until ?? []));
    }
    return days.sort()[0] ?? null;
  }

  dayIn(days: number): string {
    return new Date(this.now + days * 86_400_000).toISOString().slice(0, 10);
  }

  /** Which releases show something that is not allowed any more, of those that this word is about. */
  mustBeToldOf(word: Said): Map<number, Set<number>> {
    const told = new Map<number, Set<number>>();
    for (const [number, left] of this.left.entries()) {
      if (left.scope !== word.scope || left.patient !== word.patient) continue;
      if (word.patient === null && left.request !== word.request) continue;
      if (word.publication !== null && left.publication !== word.publication) continue;
      const gone = left.pictures.filter(
        (picture) => this.whatHolds(left.scope, left.publication, left.request, picture).why !== null,
      );
      if (gone.length > 0) told.set(number, new Set(gone));
    }
    return told;
  }

  /** The note that an answer becomes, once it is accepted. */
  noteOf(asked: Asked, answer: "yes" | "no"): Said {
    const { of, scope, publication, capacity, pictures, hoursAgo, untilInDays } = asked;
    const request = "request" in of ? of.request : null;
    const patient = "request" in of ? PATIENT_OF_REQUEST[of.request]! : of.patient;
    const at = this.now - hoursAgo * 3_600_000;
    const until = untilInDays === null ? null : this.dayIn(untilInDays);
    return {
      answer,
      scope,
      publication: publicationOf(publication),
      capacity,
      patient,
      name: patient === null && "request" in of ? NAMES[of.name]! : null,
      request,
      pictures,
      at,
      until: answer === "no" ? null : lastDayOfParent(capacity, scope, patient, until),
      withdrawnAt: null,
    };
  }
}

export const publicationOf = (publication: number | null): string | null =>
  publication === null ? null : PUBLICATIONS[publication]!;

/** "Ask again at majority for continued secondary use": a parent's word for others ends on the day before. */
function lastDayOfParent(
  capacity: ConsentCapacity,
  scope: ConsentScope,
  patient: number | null,
  until: string | null,
): string | null {
  if (capacity !== "parental-responsibility" || patient === null) return until;
  if (scope === "health-record" || scope === "requester") return until;
  const born = BORN[patient]!;
  const dayBefore = new Date(
    Date.UTC(Number(born.slice(0, 4)) + 18, Number(born.slice(5, 7)) - 1, Number(born.slice(8)) - 1),
  );
  const lastDay = dayBefore.toISOString().slice(0, 10);
  return until === null || until > lastDay ? lastDay : until;
}
