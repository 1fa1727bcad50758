import { SCALE_KINDS, SCALE_MATERIALS } from "@samescale/picture";
import { z } from "zod";

/** More than any picture has; keeps what is no number of a picture out. */
const MOST_PX = 50_000;
const MOST_STEPS = 1000;
const MOST_POINTS = 20_000;

const px = z.number().min(-MOST_PX).max(MOST_PX);
const point = z.tuple([px, px]);
const twoPoints = z.tuple([point, point]);
const mm = (most: number) => z.number().positive().max(most);

/** What a person says of the scale in a picture. */
export const scaleSaid = z.strictObject({
  near: point.optional(),
  twoPoints: z
    .strictObject({
      from: point,
      to: point,
      lengthMm: mm(2000),
      toleranceMm: z.number().min(0).max(500).optional(),
    })
    .refine(({ from, to }) => from[0] !== to[0] || from[1] !== to[1], "the two points are the same")
    .optional(),
  kind: z.enum(SCALE_KINDS).optional(),
  material: z.enum(SCALE_MATERIALS).optional(),
  scaleId: z.string().min(1).max(60).optional(),
  scaleHeightMm: z.number().min(-200).max(200).optional(),
});

/** What a person says of the part that is measured. */
export const partSaid = z.strictObject({
  headToToe: twoPoints.optional(),
  limb: z
    .strictObject({
      edges: z.tuple([twoPoints, twoPoints]).optional(),
      middle: twoPoints.optional(),
      girthMm: mm(3000).optional(),
    })
    .optional(),
  isCurved: z.boolean().optional(),
});

const inside = z.boolean();
const points = z.array(point).min(1).max(MOST_POINTS);

/** What a person did with the outline tools, in order. */
export const outlineSteps = z
  .array(
    z.discriminatedUnion("do", [
      z.strictObject({ do: z.literal("click"), at: point, inside }),
      z.strictObject({ do: z.literal("box"), box: z.tuple([px, px, px, px]) }),
      z.strictObject({ do: z.literal("rim"), points, inside }),
      z.strictObject({ do: z.literal("draw"), points, inside }),
      z.strictObject({
        do: z.literal("brush"),
        points,
        radiusPx: z.number().positive().max(MOST_PX),
        inside,
      }),
    ]),
  )
  .min(1)
  .max(MOST_STEPS);
