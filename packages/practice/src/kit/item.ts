import { parseRatio, parseSensorSize } from "@samescale/optics";
import { z } from "zod";
import { typed } from "../read/typed.ts";

const id = z
  .string()
  .regex(/^[a-z0-9][a-z0-9-]{0,39}$/, "expected small letters, digits and hyphens, 40 at most");
const line = (most: number) =>
  z
    .string()
    .min(1)
    .max(most)
    .regex(/^[^\p{Cc}\p{Cf}]*$/u, "holds control characters");
const day = z.string().refine((text) => {
  const time = /^\d{4}-\d\d-\d\d$/.test(text) ? Date.parse(`${text}T00:00:00Z`) : Number.NaN;
  return Number.isFinite(time) && new Date(time).toISOString().startsWith(text);
}, "expected a day that exists, as 2026-11-25");

const ratio = typed(parseRatio);

/** What can be said of every thing. Left out: nobody knows of a fault. */
const state = {
  id,
  /** As the department calls it. */
  name: line(80),
  /** A place of the department, or wherever it is. */
  where: line(60).default("studio"),
  /** Alike, lying together: labels, wipes, drapes. */
  count: z.number().int().min(0).max(100_000).default(1),
  charged: z.boolean().optional(),
  clean: z.boolean().optional(),
  /** Next check. */
  dueOn: day.optional(),
  /** What is wrong with it. */
  broken: line(200).optional(),
  /** Lent, sent in: not in the department. */
  away: line(200).optional(),
};

const focal = z.number().min(1, "expected 1 mm or more").max(5000);

export const bodySchema = z.strictObject({
  ...state,
  sensor: typed(parseSensorSize),
  pixels: typed(parseSensorSize),
});

export const lensSchema = z
  .strictObject({
    ...state,
    focalMm: focal,
    focusing: z.enum(["extension", "internal", "unknown"]).default("unknown"),
    pupilRatio: z.number().min(0.05).max(20).optional(),
    hiatusMm: z.number().min(-1000).max(1000).optional(),
    /** Marked on the barrel, as 1:4. */
    ratiosMarked: z.array(ratio).max(30).default([]),
    greatestRatio: ratio,
    /** Closest focus, from the sensor's plane. */
    closestMm: z.number().min(1).max(100_000),
    fNumbers: z.strictObject({ least: z.number().min(0.5).max(90), most: z.number().min(0.5).max(180) }),
    /** Front of the lens to the subject at ratios read from pictures: gives focal length in force and front offset. */
    measured: z
      .array(z.strictObject({ ratio, frontToSubjectMm: z.number().min(1).max(100_000) }))
      .max(20)
      .default([]),
  })
  .refine(({ fNumbers }) => fNumbers.least <= fNumbers.most, {
    path: ["fNumbers"],
    message: "the least f-number lies above the most",
  });

export const flashSchema = z
  .strictObject({
    ...state,
    kind: z.enum(["ring", "on-camera", "off-camera", "studio", "continuous"]),
    /** In metres at ISO 100; null for continuous light. */
    guideNumberM: z.number().min(0.5).max(500).nullable(),
    /** Guide numbers by zoom setting, in place of the single one. */
    zoom: z
      .array(
        z.strictObject({
          zoomMm: z.number().min(8).max(400),
          guideNumberM: z.number().min(0.5).max(500),
        }),
      )
      .max(20)
      .default([]),
    /** Smallest part of the full power: 128 for 1/128. */
    leastPowerPart: z.number().int().min(1).max(1024).default(1),
  })
  .refine(
    ({ kind, guideNumberM, zoom }) => kind === "continuous" || guideNumberM !== null || zoom.length > 0,
    {
      path: ["guideNumberM"],
      message: "a flash needs its guide number",
    },
  );

export const scaleSchema = z.strictObject({
  ...state,
  kind: z.enum(["straight", "L", "label", "marker"]),
  lengthMm: z.number().min(5).max(5000),
  /** Its id in the calibration record. */
  calibrationId: line(32).optional(),
  tolerancePercent: z.number().min(0.01).max(5).optional(),
  singleUse: z.boolean().default(false),
});

export const mirrorSchema = z.strictObject({
  ...state,
  kind: z.enum(["floor", "hand", "occlusal", "buccal", "lingual"]),
  widthMm: z.number().min(5).max(3000),
  heightMm: z.number().min(5).max(3000),
});

export const drapeSchema = z.strictObject({
  ...state,
  colour: line(40),
  widthMm: z.number().min(50).max(20_000),
  heightMm: z.number().min(50).max(20_000),
  washable: z.boolean(),
});

export const batterySchema = z.strictObject({ ...state, fits: z.array(id).min(1).max(20) });
export const memoryCardSchema = z.strictObject({ ...state, gigabytes: z.number().min(0.1).max(100_000) });
export const plainSchema = z.strictObject(state);

/** The register's groups, in the order in which a bag is packed. */
export const kitGroups = {
  bodies: bodySchema,
  lenses: lensSchema,
  flashes: flashSchema,
  scales: scaleSchema,
  charts: plainSchema,
  mirrors: mirrorSchema,
  retractors: plainSchema,
  drapes: drapeSchema,
  labels: plainSchema,
  batteries: batterySchema,
  cards: memoryCardSchema,
  wipes: plainSchema,
  others: plainSchema,
} as const;

export type KitGroup = keyof typeof kitGroups;
export type Body = z.output<typeof bodySchema>;
export type Lens = z.output<typeof lensSchema>;
export type Flash = z.output<typeof flashSchema>;
/** What every thing of the register has. */
export type KitItem = z.output<typeof plainSchema>;
