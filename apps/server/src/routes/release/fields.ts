import { RELEASE_FORMS, type ReleaseForm, type ReleaseWanted } from "@samescale/desk";
import { CONSENT_SCOPES } from "@samescale/practice";
import { z } from "zod";

/** An identifier of the library. */
export const id = z.string().regex(/^[0-9A-HJKMNP-TV-Z]{26}$/, "is no identifier");
export const byCode = z.object({ code: z.string().min(1).max(60) });
export const byId = z.object({ id });
export const scope = z.enum(CONSENT_SCOPES);

const FORM_NAMES = RELEASE_FORMS.map(({ name }) => name) as [string, ...string[]];

/** What a person wants to let out. How the words have to be, the desk says, in its own words. */
export const wantedBody = z.strictObject({
  scope,
  form: z.enum(FORM_NAMES),
  frames: z.array(id).max(2000),
  to: z.string().max(400),
  purpose: z.string().max(400),
  publication: z.string().max(400).nullable().default(null),
  project: z.string().max(200).nullable().default(null),
  expiresOn: z.string().max(20).nullable().default(null),
});

export const formNamed = (name: string): ReleaseForm =>
  RELEASE_FORMS.find((form) => form.name === name) ?? RELEASE_FORMS[0]!;

export const wantedOf = (requestId: string, body: z.output<typeof wantedBody>): ReleaseWanted => {
  const { form: _, ...rest } = body;
  return { ...rest, requestId };
};
