import { z } from "zod";

/** Who gives patients their numbers: one name for each here, and the names that other systems use for the same. */
export const authoritySchema = z.strictObject({
  name: z.string().min(1).max(120),
  also: z.array(z.string().min(1).max(200)).max(20).default([]),
});
