import { SamescaleError } from "@samescale/errors";
import { MARKER_KINDS, parseScaleId } from "@samescale/marker";
import { z } from "zod";
import { fieldWords } from "../read/field-words.ts";

/** Scales that are bought, beside our own printed ones. */
export const BOUGHT_KINDS = ["steel rule", "plastic rule", "tape", "L-shaped", "label", "other"] as const;

/** A deviation beyond this is a page that something scaled, not a printer's tolerance. */
export const MOST_TOLERANCE_PERCENT = 2;

/** A day as it is written down, 2026-11-25. */
const day = z.string().refine(isDay, "expected a day that exists, as 2026-11-25");
const line = (most: number) =>
  z
    .string()
    .min(1)
    .max(most)
    .regex(/^[^\p{Cc}\p{Cf}]*$/u, "holds control characters");

const lengthSchema = z.strictObject({
  /** Across and along: of the page that the scale was printed on. */
  what: z.enum(["check line across", "check line along", "scale"]),
  nominalMm: z.number().min(5).max(5000),
  measuredMm: z.number().min(1).max(6000),
});

const measurementSchema = z.strictObject({
  measuredOn: day,
  by: line(80),
  instrument: line(120),
  /** What the instrument was read to. */
  resolutionMm: z.number().min(0.001).max(2),
  /** Of the instrument itself, over the length measured, from its certificate; null when nobody knows. */
  instrumentU95Mm: z.number().min(0).max(2).nullable(),
  tolerancePercent: z.number().min(0.01).max(MOST_TOLERANCE_PERCENT),
  dueOn: day,
  lengths: z.array(lengthSchema).min(1).max(3),
});
export type Measurement = z.infer<typeof measurementSchema>;

const scaleSchema = z
  .strictObject({
    id: line(32),
    kind: z.enum([...MARKER_KINDS, ...BOUGHT_KINDS]),
    nominalMm: z.number().min(5).max(5000),
    printedOn: day.nullable(),
    state: z.enum(["in use", "withdrawn"]),
    withdrawn: z.strictObject({ on: day, why: line(200) }).nullable(),
    /** Oldest first: a photograph is read with what was known of its scale on its day. */
    measurements: z.array(measurementSchema).min(1),
  })
  .superRefine((scale, context) => {
    for (const fault of faultsOf(scale)) context.addIssue({ code: "custom", ...fault });
  });

interface Fault {
  readonly path: (string | number)[];
  readonly message: string;
}

/** What only shows when fields are seen together. */
function faultsOf(scale: {
  readonly id: string;
  readonly kind: string;
  readonly printedOn: string | null;
  readonly state: string;
  readonly withdrawn: object | null;
  readonly measurements: readonly Measurement[];
}): Fault[] {
  const faults: Fault[] = [];
  const own = parseScaleId(scale.id);
  const printed = isPrinted(scale.kind);
  if (printed && (own?.id !== scale.id || own.kind !== scale.kind)) {
    faults.push({ path: ["id"], message: `is not the id of a printed scale of the kind ${scale.kind}` });
  }
  if (!printed && (LOOKS_PRINTED.test(scale.id) || !BOUGHT_ID.test(scale.id))) {
    faults.push({
      path: ["id"],
      message: "expected letters, digits and hyphens, and not the id of a printed scale",
    });
  }
  if ((scale.state === "withdrawn") !== (scale.withdrawn !== null)) {
    faults.push({ path: ["withdrawn"], message: 'expected with the state "withdrawn", and only then' });
  }
  scale.measurements.forEach((measurement, i) => {
    const path = ["measurements", i];
    const before = scale.measurements[i - 1];
    if (before && before.measuredOn > measurement.measuredOn) {
      faults.push({ path, message: "is older than the one before it" });
    }
    if (scale.printedOn !== null && measurement.measuredOn < scale.printedOn) {
      faults.push({ path: [...path, "measuredOn"], message: "lies before the day of printing" });
    }
    if (measurement.dueOn <= measurement.measuredOn) {
      faults.push({ path: [...path, "dueOn"], message: "expected after measuredOn" });
    }
    const missing = lengthsMissing(scale.kind, measurement);
    if (missing) faults.push({ path: [...path, "lengths"], message: missing });
    const off = worstOffPercent(measurement);
    if (off > measurement.tolerancePercent) {
      faults.push({
        path: [...path, "lengths"],
        message: `off by ${off.toFixed(2)} %, more than the tolerance of ${measurement.tolerancePercent} %`,
      });
    }
  });
  return faults;
}

/** A slip in a printed scale's id must not make a bought one of it. */
const LOOKS_PRINTED = /^[A-D][A-Z0-9]{7}$/i;
const BOUGHT_ID = /^[A-Za-z0-9][A-Za-z0-9-]{0,31}$/;

export const isPrinted = (kind: string): boolean => (MARKER_KINDS as readonly string[]).includes(kind);

/** Why what was measured does not give the scale its length; null when it does. */
export function lengthsMissing(kind: string, { lengths }: Pick<Measurement, "lengths">): string | null {
  const has = (what: string) => lengths.some((length) => length.what === what);
  if (new Set(lengths.map(({ what }) => what)).size < lengths.length) return "names one length twice";
  if (!isPrinted(kind)) return has("scale") ? null : "expected the length of the scale";
  if (kind === "l" && !(has("check line across") && has("check line along"))) {
    return "an L-shaped scale needs both check lines, across and along: a printer stretches them differently";
  }
  return has("check line across") || has("scale") ? null : "expected the check line across the page";
}

/** The largest deviation of a length from its nominal one, in percent, without sign. */
export function worstOffPercent({ lengths }: Pick<Measurement, "lengths">): number {
  return Math.max(...lengths.map(({ nominalMm, measuredMm }) => 100 * Math.abs(measuredMm / nominalMm - 1)));
}

const recordSchema = z.strictObject({ form: z.literal(1), scales: z.array(scaleSchema) });

/** The department's record of its scales and of what they measured. */
export type CalibratedScales = z.infer<typeof recordSchema>;
export type CalibratedScale = CalibratedScales["scales"][number];

/**
 * Reads a calibration record from parsed JSON; says every field that is wrong.
 * @throws SamescaleError CALIBRATIONS_INVALID
 */
export function parseCalibratedScales(value: unknown, from: string): CalibratedScales {
  const parsed = recordSchema.safeParse(value, { error: fieldWords });
  const faults = parsed.success
    ? twice(parsed.data.scales)
    : parsed.error.issues.map((i) => `${i.path.join(".") || "(the whole)"}: ${i.message}`);
  if (parsed.success && faults.length === 0) return parsed.data;
  throw new SamescaleError(
    "CALIBRATIONS_INVALID",
    `The calibration record ${from} does not hold: ${faults.slice(0, 8).join("; ")}`,
    "Correct the named fields, or take the file back from a backup; docs/print-scale.md lists what each may be.",
  );
}

function twice(scales: readonly CalibratedScale[]): string[] {
  const ids = scales.map(({ id }) => id);
  return ids.filter((id, i) => ids.indexOf(id) !== i).map((id) => `scales: ${id} is there twice`);
}

function isDay(text: string): boolean {
  if (!/^\d{4}-\d\d-\d\d$/.test(text)) return false;
  const time = Date.parse(`${text}T00:00:00Z`);
  return Number.isFinite(time) && new Date(time).toISOString().startsWith(text);
}
