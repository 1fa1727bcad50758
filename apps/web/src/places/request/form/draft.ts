import type { BodyMark } from "@samescale/practice/body";
import type { RequestForm, WholeRequestAnswer } from "@samescale/server";

export type Whole = WholeRequestAnswer;
export type Details = Whole["details"];
export type Side = Details["parts"][number]["side"];

/** A mark with what is written beside it. */
export interface DraftMark extends BodyMark {
  readonly note?: string | undefined;
}

export interface DraftPart {
  readonly part: string;
  readonly side: Side;
  readonly marks: readonly DraftMark[];
}

/** A request as it is being filled in: every field as a person types it, empty where nothing is said. */
export interface Draft {
  readonly dueDate: string;
  readonly priority: RequestForm["priorities"][number] | "";
  readonly title: string;
  readonly purpose: string;
  readonly occasion: NonNullable<Details["occasion"]> | "";
  readonly site: string;
  readonly place: string;
  readonly patientIs: NonNullable<Details["patientIs"]> | "";
  readonly bookedAt: string;
  readonly dressingsDownAt: string;
  readonly operation: string;
  readonly operationAt: string;
  readonly requester: string;
  readonly role: string;
  readonly contact: string;
  readonly cautions: readonly Details["cautions"][number][];
  readonly chaperone: NonNullable<Details["chaperone"]> | "";
  readonly interpreter: string;
  readonly consentReached: readonly Details["consentReached"][number][];
  readonly parts: readonly DraftPart[];
}

export const EMPTY: Draft = {
  dueDate: "",
  priority: "",
  title: "",
  purpose: "",
  occasion: "",
  site: "",
  place: "",
  patientIs: "",
  bookedAt: "",
  dressingsDownAt: "",
  operation: "",
  operationAt: "",
  requester: "",
  role: "",
  contact: "",
  cautions: [],
  chaperone: "",
  interpreter: "",
  consentReached: [],
  parts: [],
};

/** Whoever asks: an account by its name, others by what was said of them. */
export interface Requester {
  readonly name: string;
  readonly role?: string | undefined;
  readonly contact?: string | undefined;
}

/** A request as it stands, to be changed. */
export function draftOf({ dueDate, priority, details }: Whole): Draft {
  const requester: Requester = details.requester ?? { name: "" };
  return {
    dueDate: dueDate ?? "",
    priority: (priority ?? "") as Draft["priority"],
    title: details.title ?? "",
    purpose: details.purpose ?? "",
    occasion: details.occasion ?? "",
    site: details.site ?? "",
    place: details.place ?? "",
    patientIs: details.patientIs ?? "",
    bookedAt: details.bookedAt.map(timeText).join("\n"),
    dressingsDownAt: timeText(details.dressingsDownAt ?? ""),
    operation: details.operation?.what ?? "",
    operationAt: timeText(details.operation?.at ?? ""),
    requester: requester.name,
    role: requester.role ?? "",
    contact: requester.contact ?? "",
    cautions: details.cautions,
    chaperone: details.chaperone ?? "",
    interpreter: details.interpreter ?? "",
    consentReached: details.consentReached,
    parts: details.parts,
  };
}

/** What is sent: fields that say nothing are null. */
export function askedIn(draft: Draft) {
  const { operation, operationAt, requester, role, contact } = draft;
  const said = (text: string) => (text.trim() === "" ? null : text.trim());
  const some = <T>(list: readonly T[]) => (list.length === 0 ? null : list);
  const times = draft.bookedAt.split("\n").flatMap((time) => said(time) ?? []);
  return {
    dueDate: said(draft.dueDate),
    priority: draft.priority === "" ? null : draft.priority,
    details: {
      title: said(draft.title),
      purpose: said(draft.purpose),
      occasion: said(draft.occasion),
      site: said(draft.site),
      place: said(draft.place),
      patientIs: said(draft.patientIs),
      bookedAt: some(times.map(timeSent)),
      dressingsDownAt: said(draft.dressingsDownAt) && timeSent(draft.dressingsDownAt),
      operation: said(operation) && {
        what: operation.trim(),
        ...(said(operationAt) && { at: timeSent(operationAt) }),
      },
      requester: said(requester) && {
        name: requester.trim(),
        ...(said(role) && { role: role.trim() }),
        ...(said(contact) && { contact: contact.trim() }),
      },
      cautions: some(
        draft.cautions.map(({ kind, note }) => (note?.trim() ? { kind, note: note.trim() } : { kind })),
      ),
      chaperone: said(draft.chaperone),
      interpreter: said(draft.interpreter),
      consentReached: some(draft.consentReached),
      parts: some(draft.parts.filter(({ part }) => part.trim() !== "").map(partSent)),
    },
  };
}

type Asked = ReturnType<typeof askedIn>;
export type Changes = Partial<Omit<Asked, "details">> & { readonly details: Record<string, unknown> };

/** Only what differs: what nobody touched is not written over what somebody else wrote. */
export function changesBetween(before: Draft, after: Draft): Changes {
  const [was, is] = [askedIn(before), askedIn(after)];
  const differs = (one: unknown, other: unknown) => JSON.stringify(one) !== JSON.stringify(other);
  const details = Object.entries(is.details).filter(([field, value]) =>
    differs(was.details[field as keyof Asked["details"]], value),
  );
  return {
    ...(differs(was.dueDate, is.dueDate) && { dueDate: is.dueDate }),
    ...(differs(was.priority, is.priority) && { priority: is.priority }),
    details: Object.fromEntries(details),
  };
}

export const countOf = ({ details, ...others }: Changes): number =>
  Object.keys(details).length + Object.keys(others).length;

const partSent = ({ part, side, marks }: DraftPart) => ({
  part: part.trim(),
  side,
  marks: marks.map(({ chart, x, y, note }) => ({ chart, x, y, ...(note?.trim() && { note: note.trim() }) })),
});

const timeText = (time: string): string => time.replace("T", " ");
const timeSent = (text: string): string => text.trim().replace(/\s+/, "T");
