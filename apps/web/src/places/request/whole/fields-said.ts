import { words } from "../../../words/index.ts";
import type { Requester, Whole } from "../form/draft.ts";

const say = words.request.form;
type FieldName = keyof typeof words.request.whole.fields;

export interface FieldSaid {
  readonly field: FieldName;
  readonly text: string;
  readonly isCaution: boolean;
}

/** Everything that was asked for, in words; what nobody said is left out. */
export function fieldsSaid({
  patient,
  birthDate,
  sensitive,
  external,
  details,
}: Whole): readonly FieldSaid[] {
  const line = (...some: readonly (string | null | undefined)[]) => some.filter((each) => each).join(", ");
  const requester: Requester = details.requester ?? { name: "" };
  const said: readonly (readonly [FieldName, string])[] = [
    ["cautions", details.cautions.map(({ kind, note }) => line(cautionWord(kind), note)).join("\n")],
    ["purpose", details.purpose ?? ""],
    [
      "parts",
      details.parts
        .map(({ part, side, marks }) =>
          line(side === "none" ? part : `${say.sides[side]} ${part}`, ...marks.map(({ note }) => note)),
        )
        .join("\n"),
    ],
    ["place", line(details.place, details.site)],
    ["booked", details.bookedAt.map(timeText).join("\n")],
    ["dressings", timeText(details.dressingsDownAt ?? "")],
    ["patientIs", details.patientIs ? say.patientIsWays[details.patientIs] : ""],
    ["operation", line(details.operation?.what, timeText(details.operation?.at ?? ""))],
    ["requester", line(requester.name, requester.role, requester.contact)],
    ["chaperone", details.chaperone ? say.chaperones[details.chaperone] : ""],
    ["interpreter", details.interpreter ?? ""],
    ["occasion", details.occasion ? say.occasions[details.occasion] : ""],
    ["patient", patient ? line(patient.name, birthDate, patient.number, patient.authority) : ""],
    ["consentReached", details.consentReached.map((scope) => words.consent.scopes[scope]).join(", ")],
    ["sensitive", sensitive.map((one) => say.sensitives[one as keyof typeof say.sensitives]).join(", ")],
    ["notes", details.notes.join("\n")],
    ["external", external ?? ""],
  ];
  return said
    .filter(([, text]) => text !== "")
    .map(([field, text]) => ({ field, text, isCaution: field === "cautions" }));
}

const cautionWord = (kind: string): string => words.request.cautions[kind as "flash"] ?? kind;
const timeText = (time: string): string => time.replace("T", " ");
