import { z } from "zod";
import { CONSENT_SCOPES } from "../consent/scopes.ts";
import { fieldWords } from "../read/field-words.ts";
import { BODY_CHART_NAMES } from "./body-chart.ts";

const plain = z
  .string()
  .regex(/^[^\p{Cc}\p{Cf}]*$/u, "holds control characters")
  .trim();
const text = (most: number) => plain.min(1).max(most);
const localTime = z
  .string()
  .regex(/^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}(:\d{2})?$/, "expected a local time such as 2026-03-15T09:30")
  .refine(isTime, "is no time of the calendar");

/** 30 February would quietly become 2 March. */
function isTime(time: string): boolean {
  const date = new Date(`${time}Z`);
  return !Number.isNaN(date.getTime()) && date.toISOString().startsWith(time);
}

/** Where the feature is, on our own plain body outline. Fractions of the drawing, from its left and its top. */
const markSchema = z.strictObject({
  chart: z.enum(BODY_CHART_NAMES),
  x: z.number().min(0).max(1),
  y: z.number().min(0).max(1),
  note: text(120).optional(),
});

const personSchema = z.union([
  text(120).transform((name) => ({ name })),
  z.strictObject({ name: text(120), role: text(80).optional(), contact: text(120).optional() }),
]);

export const REQUEST_SIDES = ["left", "right", "both", "none"] as const;

export const REQUEST_CAUTIONS = ["infection", "flash", "latex", "mobility", "other"] as const;

/** As a person reads them in a list, before a note. */
export const REQUEST_CAUTION_WORDS: Readonly<Record<(typeof REQUEST_CAUTIONS)[number], string>> = {
  infection: "Infection",
  flash: "Flash",
  latex: "No latex",
  mobility: "Moving",
  other: "Mind",
};

const detailsSchema = z.strictObject({
  /** As lists show it; made from parts and purpose when not given. */
  title: text(160).optional(),
  /** Hospital or building. */
  site: text(120).optional(),
  /** Ward or clinic. */
  place: text(120).optional(),
  requester: personSchema.optional(),
  /** Anatomical areas, each with its side. */
  parts: z
    .array(
      z.strictObject({
        part: text(80),
        side: z.enum(REQUEST_SIDES).default("none"),
        marks: z.array(markSchema).max(20).default([]),
      }),
    )
    .max(40)
    .default([]),
  purpose: text(400).optional(),
  /** When the dressings will be down: local time where the patient is. */
  dressingsDownAt: localTime.optional(),
  operation: z.strictObject({ what: text(160), at: localTime.optional() }).optional(),
  patientIs: z.enum(["in-patient", "out-patient"]).optional(),
  /** What the requester says of a chaperone; the photographer offers one in any case where a view asks for it. */
  chaperone: z.enum(["wanted", "not-wanted", "to-be-asked"]).optional(),
  /** The language. */
  interpreter: text(80).optional(),
  cautions: z
    .array(z.strictObject({ kind: z.enum(REQUEST_CAUTIONS), note: text(200).optional() }))
    .max(20)
    .default([]),
  /** How far the requester says that consent reaches. It releases nothing: only consent on record does. */
  consentReached: z.array(z.enum(CONSENT_SCOPES)).max(CONSENT_SCOPES.length).default([]),
  /** Local times of appointments. */
  bookedAt: z.array(localTime).max(200).default([]),
  /** Of a non-clinical request. */
  occasion: z.enum(["portrait", "event", "room", "equipment", "other"]).optional(),
  /** What an order said that has no field here, word for word. */
  notes: z.array(text(2000)).max(40).default([]),
});

/** What a clinician asks for, beside patient, day and priority. */
export type RequestDetails = z.output<typeof detailsSchema>;

/**
 * Checks what somebody filled in.
 * @returns the details; or one sentence per fault, with its field
 */
export function requestDetailsOf(
  value: unknown,
): { readonly details: RequestDetails } | { readonly faults: readonly string[] } {
  const parsed = detailsSchema.safeParse(value ?? {}, { error: fieldWords });
  if (parsed.success) return { details: parsed.data };
  const faults = parsed.error.issues.map((issue) => {
    const path = issue.code === "unrecognized_keys" ? [...issue.path, issue.keys[0]!] : issue.path;
    const field = path.map((part, i) =>
      typeof part === "number" ? `[${part + 1}]` : `${i ? "." : ""}${String(part)}`,
    );
    return `${field.join("") || "the details"}: ${issue.message}`;
  });
  return { faults: [...new Set(faults)] };
}

/** "left lower leg, sacrum" */
export function sayParts(parts: RequestDetails["parts"]): string {
  return parts.map(({ part, side }) => (side === "none" ? part : `${side} ${part}`)).join(", ");
}

/** What a list shows for a request: its title, or parts and purpose. */
export function titleOf({ title, parts, purpose }: RequestDetails): string {
  return title ?? ([sayParts(parts), purpose].filter((each) => each).join(": ") || "no purpose given");
}
