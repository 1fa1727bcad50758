import { SamescaleError } from "@samescale/errors";
import { z } from "zod";
import { viewSetSchema } from "./view.ts";

/** How far a picture may stray from its plan before it should be made again. */
export const tolerancesSchema = z.strictObject({
  /** Of the ratio, in percent, for a single record picture. */
  ratioPercent: z.number().min(0.1).max(50),
  /** The same where pictures are compared over time. */
  seriesRatioPercent: z.number().min(0.1).max(50),
  leanDeg: z.number().min(0.5).max(45),
  /** A scale this far out of the plane of the subject, seen as a disagreement of two scales or said by a person. */
  scaleHeightMm: z.number().min(0.1).max(100),
});
export type Tolerances = z.infer<typeof tolerancesSchema>;

/** The department's own rules, one file, checked as a whole. */
export const practiceSchema = z.strictObject({
  department: z.string().min(1).max(120),
  version: z.number().int().min(1),
  sensor: z.strictObject({ widthMm: z.number().min(3).max(70), heightMm: z.number().min(2).max(70) }),
  circleOfConfusionMm: z.number().min(0.001).max(0.2),
  tolerances: tolerancesSchema,
  viewSets: z.array(viewSetSchema).min(1),
});
export type Practice = z.infer<typeof practiceSchema>;

/** Reads a practice from parsed JSON. Says every field that is wrong, not only the first. */
export function parsePractice(value: unknown, from: string): Practice {
  const parsed = practiceSchema.safeParse(value);
  if (!parsed.success) {
    const faults = parsed.error.issues.map((i) => `${i.path.join(".") || "(the whole)"}: ${i.message}`);
    throw new SamescaleError(
      "PRACTICE_INVALID",
      `The practice file ${from} does not hold: ${faults.slice(0, 8).join("; ")}`,
      "Correct the named fields; docs/practice.md lists what each may be.",
    );
  }
  const keys = parsed.data.viewSets.map((set) => set.key);
  const twice = keys.find((key, i) => keys.indexOf(key) !== i);
  if (twice !== undefined) {
    throw new SamescaleError(
      "PRACTICE_INVALID",
      `The practice file ${from} has two view sets named ${twice}`,
      "Give each view set its own key.",
    );
  }
  return parsed.data;
}
