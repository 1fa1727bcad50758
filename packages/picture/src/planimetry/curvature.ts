import { dot, type Point, plus, type Region, times, type Vector3 } from "@samescale/geometry";
import { knownLimb, type LimbTrial, onSkin } from "./limb.ts";
import type { LimbMeasured, MeasuredShape } from "./measured-shape.ts";
import type { ScaleInForce } from "./scale-in-force.ts";
import { type Figure, type Shape, shapeOf } from "./shape.ts";
import { effectOf, lengthwise, type Source } from "./source.ts";
import { axesOf, sightOf } from "./view.ts";

/** The most strongly curved part that is measured as if it were flat: a slim limb (assumed). */
export const LEAST_RADIUS_MM = 35;
/** The line nearest to the camera runs so much of the region's width beside its middle (assumed). */
const BESIDE_FRONT = 0.35;
const THICKER = 1.1;
/** As good as flat: what is not seen whole on it lies beyond the plane's horizon. */
const MOST_RADIUS_MM = 10_000;
/** Of the radius: how far beside the middle line that a person marked the limb's axis lies (assumed). */
const FRONT_U = 0.05;
/** Relative, of the distance to the camera: by the file's focal length (lenses shorten theirs close up), or by none. */
const KNOWN_FOCAL_U = 0.15;
const UNKNOWN_FOCAL_U = 0.5;

/** On a limb laid out flat x runs along it. */
export const AXIS_ON_LIMB = [
  { x: 0, y: 0 },
  { x: 1, y: 0 },
] as const;

/** What a curved surface leaves open, by measuring again with each thing a little different. */
export function curvatureSources(m: MeasuredShape): Source[] {
  if (m.limb) return limbSources(m, m.limb);
  return m.isCurved ? [unknownCurvature(m)] : [];
}

function limbSources(m: MeasuredShape, limb: LimbMeasured): Source[] {
  const { force, region, smoothing } = m;
  const tried = (trial: LimbTrial): Shape | null => {
    const other = knownLimb(limb.said, force, trial);
    const laid = "reason" in other ? null : onSkin(region, force, other.cylinder, trial.focalBy);
    return laid && shapeOf(laid, smoothing, AXIS_ON_LIMB);
  };
  const half = (name: string, one: LimbTrial, other: LimbTrial): Source => {
    const [a, b] = [tried(one), tried(other)];
    const effect = (f: Figure) => {
      if (a && b) return Math.abs(a[f] - b[f]) / 2;
      // One way the region would reach past the visible edge: the other way counts double.
      const left = a ?? b;
      return left ? 2 * Math.abs(left[f] - m.shape[f]) : m.shape[f];
    };
    return { name, effect: effectOf(effect) };
  };
  const focalU = force.isFocalKnown ? KNOWN_FOCAL_U : UNKNOWN_FOCAL_U;
  const beside = FRONT_U * limb.cylinder.radiusMm;
  return [
    half("girth and roundness of the limb", { radiusBy: 1 + limb.radiusU }, { radiusBy: 1 - limb.radiusU }),
    half("front line of the limb", { besideMm: beside }, { besideMm: -beside }),
    half("distance of the camera", { focalBy: 1 + focalU }, { focalBy: 1 / (1 + focalU) }),
    scalePlace(m, limb),
  ];
}

/**
 * A scale that lies on the skin leans by as much as its place lies round the limb. Where the two differ it may lie level with
 * the front, on the skin, or between, every depth alike; a scale beside the limb may lie as deep as its axis.
 */
function scalePlace({ force, shape }: MeasuredShape, { cylinder, scaleAngle }: LimbMeasured): Source {
  const { byLean, byPlace } = scaleAngle;
  const depth = cylinder.radiusMm * (byPlace === null ? 1 : Math.abs(Math.cos(byLean) - Math.cos(byPlace)));
  return lengthwise("place of the scale on the limb", depth / Math.sqrt(3) / force.distanceMm, shape);
}

function unknownCurvature(m: MeasuredShape): Source {
  const { force, region, smoothing } = m;
  const [x, y] = (["x", "y"] as const).map((axis) => {
    const values = region.outline.map((p) => p[axis]);
    const [low, high] = values.reduce(([a, b], v) => [Math.min(a, v), Math.max(b, v)], [Infinity, -Infinity]);
    return (low + high) / 2 + BESIDE_FRONT * (high - low);
  }) as [number, number];
  const shapes = axesOf(force.view.normal).map((along) => {
    const laid = slimLimb(region, force, { x, y }, along);
    return laid && shapeOf(laid, smoothing, null);
  });
  const change = (f: Figure) =>
    Math.max(...shapes.map((s) => (s ? Math.abs(s[f] / m.shape[f] - 1) : 1))) / Math.sqrt(3);
  return {
    name: `curved surface taken as flat (radius of ${LEAST_RADIUS_MM} mm or more assumed)`,
    effect: effectOf((f) => {
      const axial = f === "alongAxis" || f === "acrossAxis";
      return change(axial ? "length" : f) * m.shape[f];
    }),
  };
}

/** The region on a slim limb that touches the scale's plane where a pixel is seen, thick enough that all of it is seen. */
function slimLimb(region: Region, force: ScaleInForce, touchesAt: Point, along: Vector3): Region | null {
  const { normal } = force.view;
  const sight = sightOf(force.view, touchesAt);
  const touching = times(sight, force.distanceMm / dot(sight, normal));
  for (let radiusMm = LEAST_RADIUS_MM; radiusMm < MOST_RADIUS_MM; radiusMm *= THICKER) {
    const axisPoint = plus(touching, times(normal, radiusMm));
    const laid = onSkin(region, force, { axisPoint, along, radiusMm });
    if (laid) return laid;
  }
  return null;
}
