import {
  type Cylinder,
  cross,
  dot,
  laidOut,
  type Point,
  plus,
  type Region,
  times,
  unit,
  type Vector3,
} from "@samescale/geometry";
import type { XY } from "../answers.ts";
import type { ScaleInForce } from "./scale-in-force.ts";
import { sightOf } from "./view.ts";

/**
 * What a person says of the limb that the region lies on: two points on each of its edges, or its middle line and
 * girth. With both, the edges give the middle and the girth the radius.
 */
export interface LimbInPicture {
  readonly edges?: readonly [readonly [XY, XY], readonly [XY, XY]];
  readonly middle?: readonly [XY, XY];
  readonly girthMm?: number;
}

/** A limb as a cylinder in front of the camera, at the size that the scale gives. */
export interface KnownLimb {
  readonly cylinder: Cylinder;
  /** Standard uncertainty, relative: limbs are not round. */
  readonly radiusU: number;
  /** From the line nearest to the camera to the scale, seen from the limb's axis: by the scale's lean, and by its place. */
  readonly scaleAngle: { readonly byLean: number; readonly byPlace: number | null };
}

/** What may be wrong about a limb, each to be tried. */
export interface LimbTrial {
  readonly radiusBy?: number;
  readonly focalBy?: number;
  readonly besideMm?: number;
}

/** A limb's section is no circle: its radius of curvature differs by so much from place to place (assumed). */
const ROUNDNESS_U = 0.1;
/** From an infant's finger to a trunk: what is beyond was typed wrongly. Common practice, no source. */
const GIRTHS_MM = { least: 20, most: 2500 } as const;
/** A tape round a limb (assumed). */
const GIRTH_U_MM = 5;

/**
 * The cylinder that the picture shows. Its axis lies in the plane through the camera and the limb's middle line, and along
 * any flat thing on it, so along the scale: `a = n × m`. The scale touches the limb somewhere round it, which gives how
 * far off the axis is: `(d + R) / cos ψ`, with the scale's plane at d and its lean ψ against the line nearest to the camera.
 * @returns a reason where what was said makes no limb
 */
export function knownLimb(
  said: LimbInPicture,
  force: ScaleInForce,
  trial: LimbTrial = {},
): KnownLimb | { readonly reason: string } {
  const { radiusBy = 1, focalBy = 1, besideMm = 0 } = trial;
  const view = { ...force.view, focalPx: force.view.focalPx * focalBy };
  const scaleDistanceMm = force.distanceMm * focalBy;
  const sights = (points: readonly XY[]) => points.map(([x, y]) => sightOf(view, { x, y }));
  if (!said.edges && !said.middle)
    return { reason: "A limb needs its two edges, or its middle line and girth." };
  const { girthMm } = said;
  if (girthMm !== undefined && !(girthMm >= GIRTHS_MM.least && girthMm <= GIRTHS_MM.most)) {
    return {
      reason: `A girth of ${girthMm} mm is no limb's: expected ${GIRTHS_MM.least} to ${GIRTHS_MM.most} mm.`,
    };
  }
  const middle = said.edges ? planeBetween(said.edges.map(sights)) : planeOf(sights(said.middle!));
  if (!middle) return { reason: "The two points of the limb's line are the same." };
  const along = unit(cross(view.normal, middle));
  const away = facing(cross(along, middle));
  const cosPsi = Math.min(1, dot(view.normal, away));
  let radiusMm: number;
  if (girthMm) radiusMm = (radiusBy * girthMm) / (2 * Math.PI);
  else if (said.edges) {
    // A sight line along the visible edge touches the cylinder: sin α = R / distance of the axis.
    const angles = sights(said.edges.flat()).map((s) => Math.atan2(Math.abs(dot(s, middle)), dot(s, away)));
    const sine = Math.sin(angles.reduce((sum, a) => sum + a, 0) / angles.length);
    if (!(sine < cosPsi))
      return { reason: "The limb's edges and the scale do not fit together: mark the edges again." };
    radiusMm = (radiusBy * scaleDistanceMm * sine) / (cosPsi - sine);
  } else return { reason: "A limb needs its girth where only its middle line is marked." };
  const axisMm = (scaleDistanceMm + radiusMm) / cosPsi;
  const axisPoint = plus(times(away, axisMm), times(unit(middle), besideMm));
  const cylinder = { axisPoint, along, radiusMm };
  const { at } = force.scales.reduce((a, b) => (b.weight > a.weight ? b : a)).scale;
  const scaleAt = laidOut([sightOf(view, at)], cylinder);
  return {
    cylinder,
    radiusU: Math.hypot(ROUNDNESS_U, girthMm ? GIRTH_U_MM / girthMm : 0),
    scaleAngle: { byLean: Math.acos(cosPsi), byPlace: scaleAt && Math.abs(scaleAt[0]!.y) / radiusMm },
  };
}

/** The unit normal of the plane through the camera and two points; null where they are the same. */
function planeOf([a, b]: readonly Vector3[]): Vector3 | null {
  const normal = cross(a!, b!);
  return dot(normal, normal) > 1e-18 ? unit(normal) : null;
}

/** The plane half way between two edges, which may be marked in opposite directions. */
function planeBetween(edges: readonly (readonly Vector3[])[]): Vector3 | null {
  const [one, other] = edges.map(planeOf);
  if (!one || !other) return null;
  const same = dot(one, other) >= 0 ? other : times(other, -1);
  return unit(plus(one, same));
}

const facing = (v: Vector3): Vector3 => unit(v[2] < 0 ? times(v, -1) : v);

/** The region as it lies on the skin; null where a part of it lies beyond the limb's visible edge. */
export function onSkin(
  { outline, holes }: Region,
  force: ScaleInForce,
  cylinder: Cylinder,
  focalBy = 1,
): Region | null {
  const view = { ...force.view, focalPx: force.view.focalPx * focalBy };
  const laid = [outline, ...holes].map((ring) =>
    laidOut(
      ring.map((p) => sightOf(view, p)),
      cylinder,
    ),
  );
  if (laid.some((ring) => ring === null)) return null;
  const [first, ...others] = laid as Point[][];
  return { outline: first!, holes: others };
}
