import { z } from "zod";

/** Wide enough for whatever is typed by mistake; what each field may be, the practice's own rules say in words. */
export const line = (most = 300) => z.string().max(most);
export const key = line(80);
export const because = line(1000);
export const sha256 = z.string().regex(/^[0-9a-f]{64}$/, "must be a SHA-256");
/** A name of a file of the practice; which names there are, the desk knows. */
export const path = line(80);
export const day = z.string().regex(/^\d{4}-\d{2}-\d{2}$/, "must be a day such as 2026-03-15");

/** Longer than any practice file that a person wrote. */
export const fileText = z.string().max(200_000);

/** What a field of a practice file can hold. */
const plain = z.union([line(4000), z.number(), z.boolean(), z.null()]);
const value = z.union([
  plain,
  z.array(z.union([plain, z.record(line(60), plain)])).max(60),
  z.record(line(60), z.union([plain, z.array(plain).max(60), z.record(line(60), plain)])),
]);

/** The schemas pass this one by in silence; it names no field of ours. */
const fieldName = line(60).refine((name) => name !== "__proto__", "is no name of a field");

/** Changes of single values; `null` takes a field away. */
export const changes = z
  .array(
    z.object({
      path: z
        .array(z.union([fieldName, z.number().int().min(0).max(600)]))
        .min(1)
        .max(6),
      value,
    }),
  )
  .min(1)
  .max(300);
