import { z } from "zod";

/** How the light stands, as the department lays it down. */
export const lightSchema = z.strictObject({
  key: z.string().regex(/^[a-z0-9-]{1,40}$/, "expected small letters, digits and hyphens, 40 at most"),
  name: z.string().min(1).max(60),
  /** Which flash of the register makes it; "none": light that is there. */
  flash: z.enum(["ring", "on-camera", "off-camera", "studio", "continuous", "none"]),
  heads: z.number().int().min(0).max(6),
  /** Where the heads stand, in words for the hand. */
  placement: z.string().min(1).max(240),
  /** From the light to the subject; "lens": as far as the front of the lens. */
  distance: z.union([z.literal("lens"), z.number().min(50).max(20_000)]),
  /** What it is for: texture, mouth, even colour. */
  good: z.string().min(1).max(200),
  origin: z.enum(["practice", "memory", "own"]).default("practice"),
});

export type Light = z.output<typeof lightSchema>;
