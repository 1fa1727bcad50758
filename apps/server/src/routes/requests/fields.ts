import { PRIORITIES, SENSITIVE_CATEGORIES } from "@samescale/desk";
import { z } from "zod";

/** What a route of requests takes. The desk checks what it means; here it is only kept in size and shape. */
export const codeParams = z.object({ code: z.string().regex(/^[A-Z0-9-]{1,32}$/) });
export const line = (most: number) => z.string().trim().min(1).max(most);
export const day = z.string().regex(/^\d{4}-\d{2}-\d{2}$/, "must be a day such as 2026-03-15");

const priority = z.enum(PRIORITIES).nullable();
/** Its fields and their sizes are `requestDetailsOf`'s (practice). */
const details = z.record(z.string().max(40), z.json()).default({});

export const patientSaid = z.strictObject({
  number: line(80),
  authority: line(120),
  name: line(120).nullable().default(null),
  birthDate: day.nullable().default(null),
});

export const newRequest = z.strictObject({
  patient: patientSaid.nullable(),
  dueDate: day.nullable().default(null),
  priority: priority.default(null),
  sensitive: z.array(z.enum(SENSITIVE_CATEGORIES)).max(SENSITIVE_CATEGORIES.length).default([]),
  details,
});

export const changeBody = z.strictObject({
  since: z.number().int().min(0),
  dueDate: day.nullable().optional(),
  priority: priority.optional(),
  details,
});

export const because = z.strictObject({ because: line(400) });
