import { z } from "zod";
import { patientNumberFormatSchema } from "../patient-number/number-format.ts";
import type { YamlFile } from "../read/yaml-file.ts";
import { retentionSchema } from "../retention/rules.ts";
import { arrivalSchema } from "./arrivals.ts";
import { authoritySchema } from "./authorities.ts";
import { consentRulesSchema } from "./consent-rules.ts";
import { lightSchema } from "./lights.ts";
import { secondPlaceSchema } from "./second-place.ts";
import { timeStampSchema } from "./time-stamp.ts";
import { tolerancesSchema } from "./tolerances.ts";

/** Where pictures are made. */
export const placeSchema = z.strictObject({
  key: z.string().regex(/^[a-z0-9-]{1,40}$/, "expected small letters, digits and hyphens, 40 at most"),
  name: z.string().min(1).max(60),
  /** Free length from the subject to whatever stands behind the photographer. */
  freeMm: z.number().min(200).max(100_000),
  /** What stands there need not be carried: the kit whose `where` is this place. */
  packed: z.boolean().default(true),
});
export type Place = z.output<typeof placeSchema>;

const departmentSchema = z.strictObject({
  department: z.string().min(1).max(120),
  /** Raised with every change; plans keep the version they were made from. */
  version: z.number().int().min(1),
  /** At 36 x 24 mm; smaller sensors by their crop factor. */
  circleOfConfusionMm: z.number().min(0.001).max(0.2),
  /** How patients' numbers are written here; docs/label-code.md. */
  patientNumberFormats: z.array(patientNumberFormatSchema).max(20).default([]),
  /** Who gives patients their numbers, and what orders from other systems call them. */
  authorities: z.array(authoritySchema).max(40).default([]),
  /** Where originals are kept a second time; second-place.ts. */
  secondPlace: secondPlaceSchema.optional(),
  /** Where the camera's frames arrive at the bedside; arrivals.ts. */
  arrivals: z.array(arrivalSchema).max(40).default([]),
  /** May a patient's name stand on what is left at the bedside? */
  nameOnCard: z.boolean(),
  /** Between the front of the lens and the subject: for light, hands and a patient who moves. */
  leastWorkingDistanceMm: z.number().min(0).max(2000),
  /** Behind the sensor: the photographer. */
  standingRoomMm: z.number().min(0).max(2000),
  /** Setting up and clearing away, for each visit. */
  settingUpMinutes: z.number().min(0).max(240),
  places: z.array(placeSchema).min(1).max(40),
  lights: z.array(lightSchema).min(1).max(40),
  /** Who stamps signed heads of the custody log; docs/custody.md. */
  timeStamp: timeStampSchema.optional(),
  tolerances: tolerancesSchema,
  /** What is put to those who are asked, and the ages and days that go with it; docs/consent.md. */
  consent: consentRulesSchema.prefault({}),
  /** How long pictures are kept; docs/keep.md. */
  retention: retentionSchema.default([]),
});
export type DepartmentRules = z.output<typeof departmentSchema>;

/** The department's rules from their file; null after their faults were told. */
export function departmentOf(file: YamlFile): DepartmentRules | null {
  const rules = file.check(departmentSchema);
  if (rules === null) return null;
  let sound = true;
  for (const list of ["places", "lights"] as const) {
    const keys = rules[list].map(({ key }) => key);
    keys.forEach((key, i) => {
      if (keys.indexOf(key) === i) return;
      file.fault([list, i, "key"], `${key} is there twice`);
      sound = false;
    });
  }
  return sound ? rules : null;
}
