import type { Point } from "@samescale/geometry";
import type { ScaleFound } from "../answers.ts";
import { curvatureSources } from "./curvature.ts";
import { LARGEST_LEAN_DEG, leanEffect } from "./lean-effect.ts";
import type { MeasuredShape } from "./measured-shape.ts";
import type { ScaleInForce } from "./scale-in-force.ts";
import { effectOf, lengthwise, type Source } from "./source.ts";

/** Sampling of the edge by pixels, each independent of the others: half a pixel either way, every value alike. */
const SAMPLING_U_PX = 0.5 / Math.sqrt(3);
/** The scale lies on skin, the subject a little above or below: within this, every value alike. */
export const HEIGHT_LIMIT_MM = 2;
/** Distortion that a close-up lens leaves in the corner of the frame: within this, every value alike. */
export const DISTORTION_LIMIT = 0.003;

/** Every source of uncertainty of one region, each independent of the others. */
export function sourcesOf(m: MeasuredShape, reading: ScaleFound): Source[] {
  const { force, shape, region } = m;
  const lean = leanEffect(force, region, m.axisPx);
  const edgeMm = m.edge.uMm;
  const samplingMm = SAMPLING_U_PX / force.pxPerMm;
  const lengths = (u: number) => ({ length: u, width: u, alongAxis: u, acrossAxis: u });
  return [
    {
      // The whole edge a little too far out or in, as a person or a rule draws it. A band of width w outside holds
      // P w + pi w², more than one inside: the interval, w = 2 u, is as wide as its wider side.
      name: m.edge.source,
      effect: {
        area: edgeMm * (shape.perimeter + 2 * Math.PI * edgeMm),
        perimeter: 2 * Math.PI * edgeMm,
        ...lengths(2 * edgeMm),
      },
    },
    {
      name: "resolution",
      independent: true,
      effect: {
        area: samplingMm * Math.sqrt(shape.perimeter / force.pxPerMm),
        perimeter: 2 * samplingMm,
        ...lengths(Math.SQRT2 * samplingMm),
      },
    },
    lengthwise("fit of the scale's graduations", force.fitU, shape),
    lengthwise("the scale's own tolerance", force.toleranceU, shape),
    lengthwise("scales that differ", force.disagreementU, shape),
    {
      name:
        force.method === "plane"
          ? "lean of the camera"
          : `lean of the camera, not known (within ${LARGEST_LEAN_DEG}° assumed)`,
      effect: effectOf((f) => lean[f] * shape[f]),
    },
    force.heightU === null
      ? lengthwise(
          `scale above or below the surface (within ${HEIGHT_LIMIT_MM} mm assumed)`,
          HEIGHT_LIMIT_MM / Math.sqrt(3) / force.distanceMm,
          shape,
        )
      : lengthwise("height of the scale above the surface, as told", force.heightU, shape),
    lengthwise("distortion of the lens (assumed)", distortionU(reading, force, m.at), shape),
    ...curvatureSources(m),
  ];
}

/** Local magnification goes with 1 + 3 k r²: what the scale and the region, at their distances from the middle, differ by. */
function distortionU({ widthPx, heightPx }: ScaleFound, { scales }: ScaleInForce, at: Point): number {
  const corner2 = (widthPx ** 2 + heightPx ** 2) / 4;
  const r2 = (p: Point) => ((p.x - widthPx / 2) ** 2 + (p.y - heightPx / 2) ** 2) / corner2;
  const atScales = scales.reduce((sum, { scale, weight }) => sum + weight * r2(scale.at), 0);
  return (3 * DISTORTION_LIMIT * Math.abs(r2(at) - atScales)) / Math.sqrt(3);
}
