import { z } from "zod";
import { MARKS } from "../views/honesty.ts";

/** Which requests a rule is about; what is not named does not matter to it. */
const ofSchema = z.strictObject({
  kind: z.enum(["clinical", "non-clinical"]).optional(),
  /** Under age at the last visit. */
  child: z.boolean().optional(),
  evidence: z.boolean().optional(),
  /** Any of these words stands in the purpose of the request. */
  purpose: z.array(z.string().trim().min(2).max(60)).min(1).max(40).optional(),
});

const ruleSchema = z.strictObject({
  name: z.string().trim().min(3).max(120),
  of: ofSchema,
  /** `for-ever`: never proposed. */
  keepYears: z.union([z.number().int().min(0).max(150), z.literal("for-ever")]),
  /** From the patient's last visit, of whatever request, or from the day on which they come of age. */
  after: z.enum(["last-visit", "majority"]).default("last-visit"),
  mark: z.enum(MARKS),
  why: z.string().trim().min(1).max(300),
});
export type RetentionRule = z.output<typeof ruleSchema>;

/** How long pictures are kept. None: nothing is ever proposed, and nothing can be destroyed. */
export const retentionSchema = z
  .array(ruleSchema)
  .max(60)
  .superRefine((rules, context) => {
    rules.forEach(({ name }, i) => {
      if (rules.findIndex((rule) => rule.name === name) === i) return;
      context.addIssue({ code: "custom", path: [i, "name"], message: `${name} is there twice` });
    });
  });
