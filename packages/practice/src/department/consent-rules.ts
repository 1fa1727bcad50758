import { z } from "zod";
import { CONSENT_SCOPES, type ConsentScope } from "../consent/scopes.ts";

/** What is put to the person who answers: the department's own text, for one scope. */
const wordingSchema = z.strictObject({
  scope: z.enum(CONSENT_SCOPES),
  /** As it stands on the form. */
  version: z
    .union([z.string(), z.number().transform(String)], "expected a version such as 2026-11 or 3")
    .pipe(z.string().regex(/^[A-Za-z0-9][A-Za-z0-9. -]{0,39}$/, "expected letters, digits, dots, hyphens")),
  text: z.string().trim().min(20).max(4000),
});
export type ConsentWording = z.output<typeof wordingSchema>;

export const consentRulesSchema = z.strictObject({
  /** Age in years at which a patient answers alone. */
  ageOfMajority: z.number().int().min(12).max(25).default(18),
  /** When somebody born on 29 February comes of age in a year without one, month-day. */
  leapDayBirthday: z.enum(["02-28", "03-01"]).default("03-01"),
  /** What ends is told so many days before. */
  tellDaysBefore: z.number().int().min(0).max(365).default(30),
  /** One for each scope; the last of a scope is put to patients, earlier ones are kept for those who answered them. */
  wordings: z
    .array(wordingSchema)
    .max(100)
    .superRefine((wordings, context) => {
      const names = wordings.map(({ scope, version }) => `${scope}, version ${version},`);
      names.forEach((name, i) => {
        if (names.indexOf(name) === i) return;
        context.addIssue({ code: "custom", path: [i, "version"], message: `${name} is there twice` });
      });
    })
    .default([]),
});
export type ConsentRules = z.output<typeof consentRulesSchema>;

/** The text that is put to patients for a scope; null: the department has none, and nobody can be asked. */
export function wordingFor(rules: ConsentRules, scope: ConsentScope): ConsentWording | null {
  return rules.wordings.findLast((wording) => wording.scope === scope) ?? null;
}
