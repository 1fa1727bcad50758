import { z } from "zod";

/** One standard picture, as the department lays it down. The ratio is kept as magnification (0.25 for 1:4). */
export const viewSchema = z.strictObject({
  /** Stable name within its set, such as "close-up". */
  key: z.string().regex(/^[a-z0-9-]{1,40}$/),
  name: z.string().min(1).max(80),
  part: z.string().min(1).max(80),
  side: z.enum(["left", "right", "both", "none"]),
  aspect: z.string().min(1).max(40),
  magnification: z.number().min(0.005).max(5),
  orientation: z.enum(["landscape", "portrait"]),
  focalMm: z.number().min(8).max(1200),
  fNumber: z.number().min(0.7).max(90),
  light: z.string().min(1).max(120),
  backdrop: z.string().min(1).max(80),
  /** Which scale lies in the frame; "none" where a view is made without one on purpose. */
  scale: z.enum(["none", "straight", "L", "label", "marker"]),
  /** Made through a mirror: left and right are changed over until the view is turned back. */
  mirrored: z.boolean(),
  instructions: z.string().max(400),
  cautions: z.array(
    z.enum(["flash-near-eyes", "newborn", "photosensitive", "infection", "dignity", "capacity"]),
  ),
});
export type View = z.infer<typeof viewSchema>;

/** The ordered views for one purpose. A changed set gets a new version; plans keep the version they were made from. */
export const viewSetSchema = z.strictObject({
  key: z.string().regex(/^[a-z0-9-]{1,40}$/),
  name: z.string().min(1).max(80),
  version: z.number().int().min(1),
  purpose: z.enum(["record", "series", "evidence", "notice"]),
  views: z.array(viewSchema).min(1).max(60),
});
export type ViewSet = z.infer<typeof viewSetSchema>;
