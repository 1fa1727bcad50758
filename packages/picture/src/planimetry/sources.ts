import type { Point, Region } from "@samescale/geometry";
import type { ScaleFound } from "../answers.ts";
import { LARGEST_LEAN_DEG, leanEffect } from "./lean-effect.ts";
import { type KnownLimb, moved, onSkin } from "./limb.ts";
import type { ScaleInForce } from "./scale-in-force.ts";
import { FIGURES, type Figure, POWERS, type Shape, shapeOf } from "./shape.ts";

/** What one standard uncertainty of a source changes each figure by, in the figure's own unit. */
export interface Source {
  readonly name: string;
  readonly effect: Readonly<Record<Figure, number>>;
  /** Errs anew in each region; the others err alike in all regions of a picture. */
  readonly independent?: boolean;
}

/** Sampling of the edge by pixels, each independent of the others: half a pixel either way, every value alike. */
const SAMPLING_U_PX = 0.5 / Math.sqrt(3);
/** The scale lies on skin, the subject a little above or below: within this, every value alike. */
export const HEIGHT_LIMIT_MM = 2;
/** Distortion that a close-up lens leaves in the corner of the frame: within this, every value alike. */
export const DISTORTION_LIMIT = 0.003;
/** The most strongly curved part that is measured as if it were flat: a slim limb (assumed). */
export const LEAST_RADIUS_MM = 35;
/** The line nearest to the camera runs so much of the region's width beside its middle (assumed). */
const BESIDE_FRONT = 0.35;

/** A region with all that its figures were worked out from. */
export interface MeasuredShape {
  readonly region: Region;
  readonly edgeUPx: number;
  readonly at: Point;
  readonly force: ScaleInForce;
  /** In the plane of the scale, in millimetres, before it was laid out on a limb. */
  readonly inMm: Region;
  /** The same, laid out as on the skin. */
  readonly laid: Region;
  readonly shape: Shape;
  readonly smoothing: number;
  readonly axisPx: readonly [Point, Point] | null;
  readonly limb: KnownLimb | null;
  /** The part is curved, and nobody said how much. */
  readonly isCurved: boolean;
}

/** Every source of uncertainty of one region, each independent of the others. */
export function sourcesOf(m: MeasuredShape, reading: ScaleFound): Source[] {
  const { force, shape, region } = m;
  const lean = leanEffect(force, region, m.axisPx);
  const distanceMm = force.view.focalPx / force.pxPerMm;
  const edgeMm = m.edgeUPx / force.pxPerMm;
  const samplingMm = SAMPLING_U_PX / force.pxPerMm;
  const lengths = (u: number) => ({ length: u, width: u, alongAxis: u, acrossAxis: u });
  return [
    {
      // The whole edge a little too far out or in, as a person or a rule draws it.
      name: "edge position",
      effect: { area: edgeMm * shape.perimeter, perimeter: 2 * Math.PI * edgeMm, ...lengths(2 * edgeMm) },
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
    lengthwise(
      `scale above or below the surface (within ${HEIGHT_LIMIT_MM} mm assumed)`,
      HEIGHT_LIMIT_MM / Math.sqrt(3) / distanceMm,
      shape,
    ),
    lengthwise("distortion of the lens (assumed)", distortionU(reading, force, m.at), shape),
    ...curvature(m, distanceMm),
  ];
}

const effectOf = (f: (figure: Figure) => number): Record<Figure, number> =>
  Object.fromEntries(FIGURES.map((figure) => [figure, f(figure)])) as Record<Figure, number>;

function lengthwise(name: string, u: number, shape: Shape): Source {
  return { name, effect: effectOf((f) => POWERS[f] * u * shape[f]) };
}

/** Local magnification goes with 1 + 3 k r²: what the scale and the region, at their distances from the middle, differ by. */
function distortionU({ widthPx, heightPx }: ScaleFound, { scales }: ScaleInForce, at: Point): number {
  const corner2 = (widthPx ** 2 + heightPx ** 2) / 4;
  const r2 = (p: Point) => ((p.x - widthPx / 2) ** 2 + (p.y - heightPx / 2) ** 2) / corner2;
  const atScales = scales.reduce((sum, { scale, weight }) => sum + weight * r2(scale.at), 0);
  return (3 * DISTORTION_LIMIT * Math.abs(r2(at) - atScales)) / Math.sqrt(3);
}

/** By measuring again on a limb a little thicker or thinner, and a little beside. */
function curvature(m: MeasuredShape, distanceMm: number): Source[] {
  const { limb, inMm, smoothing } = m;
  if (limb) {
    const half = (a: Region | null, b: Region | null): Record<Figure, number> => {
      // Beyond the visible edge with a thinner limb: as large as the figure itself.
      if (!a || !b) return effectOf((f) => m.shape[f]);
      const [one, other] = [shapeOf(a, smoothing, AXIS_ON_LIMB), shapeOf(b, smoothing, AXIS_ON_LIMB)];
      return effectOf((f) => Math.abs(one[f] - other[f]) / 2);
    };
    const thick = (factor: number) => onSkin(inMm, { ...limb.limb, radiusMm: limb.limb.radiusMm * factor });
    const beside = (mm: number) => onSkin(inMm, moved(limb.limb, mm));
    return [
      {
        name: "girth and roundness of the limb",
        effect: half(thick(1 + limb.radiusU), thick(1 - limb.radiusU)),
      },
      { name: "front line of the limb", effect: half(beside(limb.frontUMm), beside(-limb.frontUMm)) },
    ];
  }
  if (!m.isCurved) return [];
  const [x, y] = (["x", "y"] as const).map((axis) => {
    const values = inMm.outline.map((p) => p[axis]);
    const [low, high] = [Math.min(...values), Math.max(...values)];
    return (low + high) / 2 + BESIDE_FRONT * (high - low);
  }) as [number, number];
  const slim = { front: { x, y }, radiusMm: LEAST_RADIUS_MM, distanceMm };
  const rolled = [
    { x: 1, y: 0 },
    { x: 0, y: 1 },
  ].map((along) => onSkin(inMm, { ...slim, along }));
  const shapes = rolled.map((r) => r && shapeOf(r, smoothing, null));
  return [
    {
      name: `curved surface taken as flat (radius of ${LEAST_RADIUS_MM} mm or more assumed)`,
      effect: effectOf((f) => {
        const axial = f === "alongAxis" || f === "acrossAxis";
        const from = axial ? m.shape.length : m.shape[f];
        const changes = shapes.map((s) => (s ? Math.abs(s[axial ? "length" : f] / from - 1) : 1));
        return (Math.max(...changes) * m.shape[f]) / Math.sqrt(3);
      }),
    },
  ];
}

/** On a limb laid out flat x runs along it. */
export const AXIS_ON_LIMB = [
  { x: 0, y: 0 },
  { x: 1, y: 0 },
] as const;
