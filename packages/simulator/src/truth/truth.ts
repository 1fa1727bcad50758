import {
  areaOf,
  extentAtRightAngles,
  greatestLengthOf,
  type Matrix3,
  perimeterOf,
  planePoint,
} from "@samescale/geometry";
import type { Ring } from "../artwork/mark.ts";
import { signedArea } from "../artwork/shapes.ts";
import { blurDiameterPx } from "../camera/lens.ts";
import { lensPosition, type View } from "../camera/view.ts";
import type { Scene } from "../scene/scene.ts";
import type { Carrier, Tangent } from "../surface/carrier.ts";
import { frameHomography, type Pose, wrappedPose } from "../surface/pose.ts";
import type { Artwork, NamedRegion } from "../things/thing.ts";

export type XY = readonly [x: number, y: number];

/** What is true of a picture. Pixels are upright, origin at the outer corner of the top left pixel. */
export interface Truth {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly seed: number;
  readonly camera: {
    /** At the point where the optical axis meets the surface. */
    readonly magnification: number;
    readonly focalMm: number;
    readonly fNumber: number;
    readonly sensorWidthMm: number;
    readonly objectDistanceMm: number;
    readonly focusDistanceMm: number;
    readonly imageDistanceMm: number;
    /** Image distance in px: the pinhole's focal length. */
    readonly focalPx: number;
    readonly principalPointPx: XY;
    readonly radialK1: number;
    readonly halfDiagonalPx: number;
    /** In world axes (right, down, into the surface) from the target, mm. */
    readonly lensPositionMm: readonly [number, number, number];
    /** Rotation of surface axes (x, y, into the surface) to camera axes (right, down, forward). */
    readonly rotation: Matrix3;
  };
  readonly surface: {
    readonly shape: "plane" | "cylinder";
    readonly radiusMm: number | null;
    /** Surface mm -> px of the undistorted picture; on a cylinder, of the tangent plane at the target. */
    readonly homographyMmToPx: Matrix3;
    /** Angle between the optical axis and the surface's normal at the target. */
    readonly leanDeg: number;
    /** Direction in the picture in which the surface recedes (0 = right, 90 = down); null when square on. */
    readonly recedesTowardsDeg: number | null;
    readonly targetMm: XY;
    /** Geometric mean of both directions at the target. */
    readonly pxPerMm: number;
    /** The same at places all over the picture, row by row; on the surface, distortion included. */
    readonly scaleField: readonly ScaleAt[];
  };
  readonly things: readonly ThingTruth[];
}

export interface ScaleAt {
  readonly px: XY;
  readonly mm: XY;
  /** Px per mm along the surface's x and y, and the geometric mean (the square root of px² per mm²). */
  readonly pxPerMmX: number;
  readonly pxPerMmY: number;
  readonly pxPerMm: number;
}

export interface ThingTruth {
  readonly kind: string;
  readonly id: string | null;
  readonly heightMm: number;
  readonly mirrored: boolean;
  /** Thing mm -> px of the undistorted picture; null when it is wrapped round the surface. */
  readonly homographyMmToPx: Matrix3 | null;
  readonly leanDeg: number | null;
  readonly edges: readonly EdgeTruth[];
  readonly points: readonly { readonly name: string; readonly px: XY; readonly mm: XY }[];
  readonly regions: readonly RegionTruth[];
  readonly facts: Readonly<Record<string, unknown>>;
}

export interface EdgeTruth {
  readonly edge: string;
  readonly unit: "mm" | "inch";
  readonly stepMm: number;
  /** Middle of each tick (of the part that all ticks of the edge share). */
  readonly ticks: readonly {
    readonly mm: number;
    readonly px: XY;
    readonly rank: number;
    readonly missing: boolean;
    readonly inPicture: boolean;
    /** Diameter of the disc into which the lens spreads it. */
    readonly blurPx: number;
  }[];
  /** Numerals and unit words, character by character: the middle of each, and of its top. */
  readonly characters: readonly { readonly character: string; readonly px: XY; readonly topPx: XY }[];
  /** Along the edge, at its middle. */
  readonly pxPerMm: number;
}

export interface RegionTruth {
  readonly name: string;
  readonly outlinePx: readonly XY[];
  readonly outlineMm: readonly XY[];
  readonly holesPx: readonly (readonly XY[])[];
  /** On the surface. */
  readonly areaMm2: number;
  /** Of the outline, without the holes. */
  readonly perimeterMm: number;
  /** Greatest distance between two points of the outline, and the extent at right angles to it. */
  readonly lengthMm: number;
  readonly widthMm: number;
  /** Area of the outline seen square on along the normal at its middle; equals `areaMm2` on a plane. */
  readonly chordAreaMm2: number;
}

/** A thing that has been placed: what the truth is told about. */
export interface PlacedThing {
  readonly kind: string;
  readonly id: string | null;
  readonly heightMm: number;
  readonly mirrored: boolean;
  readonly artwork: Artwork;
  readonly pose: Pose;
}

const DEG = 180 / Math.PI;

const rows3 = (m: Float64Array): Matrix3 => [
  [m[0]!, m[1]!, m[2]!],
  [m[3]!, m[4]!, m[5]!],
  [m[6]!, m[7]!, m[8]!],
];

export function truthOf(
  scene: Scene,
  view: View,
  carrier: Carrier,
  things: readonly PlacedThing[],
  seed: number,
): Truth {
  const { camera, lens } = view;
  const tangent = carrier.tangentAt(camera.targetMm.x, camera.targetMm.y);
  const lean = leanOf(view, tangent);
  return {
    widthPx: camera.widthPx,
    heightPx: camera.heightPx,
    seed,
    camera: {
      magnification: camera.magnification,
      focalMm: camera.focalMm,
      fNumber: camera.fNumber,
      sensorWidthMm: camera.sensorMm.width,
      objectDistanceMm: lens.objectMm,
      focusDistanceMm: lens.focusMm,
      imageDistanceMm: lens.imageMm,
      focalPx: lens.focalPx,
      principalPointPx: [view.centreX, view.centreY],
      radialK1: camera.radialK1,
      halfDiagonalPx: view.distortion.halfDiagonalPx,
      lensPositionMm: lensPosition(view),
      rotation: rows3(view.rotation),
    },
    surface: {
      shape: scene.surface.shape,
      radiusMm: scene.surface.shape === "cylinder" ? scene.surface.radiusMm : null,
      homographyMmToPx: rows3(frameHomography(view, surfaceFrame(carrier, tangent, view))),
      leanDeg: lean.deg,
      recedesTowardsDeg: lean.towardsDeg,
      targetMm: [camera.targetMm.x, camera.targetMm.y],
      pxPerMm:
        ((camera.magnification * camera.widthPx) / camera.sensorMm.width) *
        Math.sqrt(Math.cos(lean.deg / DEG)),
      scaleField: scaleField(view, carrier),
    },
    things: things.map((thing) => thingTruth(thing, view)),
  };
}

const FIELD_PLACES = [0.1, 0.3, 0.5, 0.7, 0.9];

function scaleField(view: View, carrier: Carrier): ScaleAt[] {
  const pose = wrappedPose(view, carrier, { xMm: 0, yMm: 0 });
  const mm = new Float64Array(2);
  const [a, b, c, d] = [0, 1, 2, 3].map(() => new Float64Array(3)) as [
    Float64Array,
    Float64Array,
    Float64Array,
    Float64Array,
  ];
  const step = 0.005;
  const field: ScaleAt[] = [];
  for (const fy of FIELD_PLACES) {
    for (const fx of FIELD_PLACES) {
      const px: XY = [fx * view.camera.widthPx, fy * view.camera.heightPx];
      if (!pose.unproject(px[0], px[1], mm)) continue;
      const [s, t] = [mm[0]!, mm[1]!];
      pose.project(s - step, t, a);
      pose.project(s + step, t, b);
      pose.project(s, t - step, c);
      pose.project(s, t + step, d);
      const [xx, xy] = [(b[0]! - a[0]!) / (2 * step), (b[1]! - a[1]!) / (2 * step)];
      const [yx, yy] = [(d[0]! - c[0]!) / (2 * step), (d[1]! - c[1]!) / (2 * step)];
      field.push({
        px,
        mm: [s, t],
        pxPerMmX: Math.hypot(xx, xy),
        pxPerMmY: Math.hypot(yx, yy),
        pxPerMm: Math.sqrt(Math.abs(xx * yy - xy * yx)),
      });
    }
  }
  return field;
}

/** The tangent frame with its origin moved so that its coordinates are surface millimetres. */
function surfaceFrame(carrier: Carrier, tangent: Tangent, view: View): Tangent {
  if (carrier.planar) return carrier.tangentAt(0, 0);
  const { x, y } = view.camera.targetMm;
  const { origin: o, ex, ey } = tangent;
  return {
    ...tangent,
    origin: [o[0] - x * ex[0] - y * ey[0], o[1] - x * ex[1] - y * ey[1], o[2] - x * ex[2] - y * ey[2]],
  };
}

/** Angle between the optical axis and a frame's normal, and where the frame recedes. */
export function leanOf(view: View, frame: Tangent): { deg: number; towardsDeg: number | null } {
  const r = view.rotation;
  const inward = frame.up.map((v) => -v) as [number, number, number];
  const n = [0, 3, 6].map((k) => r[k]! * inward[0] + r[k + 1]! * inward[1] + r[k + 2]! * inward[2]);
  const sine = Math.hypot(n[0]!, n[1]!);
  const deg = Math.atan2(sine, n[2]!) * DEG;
  return { deg, towardsDeg: sine < 1e-9 ? null : Math.atan2(-n[1]!, -n[0]!) * DEG };
}

function thingTruth(thing: PlacedThing, view: View): ThingTruth {
  const { artwork, pose } = thing;
  const at = new Float64Array(3);
  const toPx = (x: number, y: number): XY => {
    pose.project(x, y, at);
    return [at[0]!, at[1]!];
  };
  return {
    kind: thing.kind,
    id: thing.id,
    heightMm: thing.heightMm,
    mirrored: thing.mirrored,
    homographyMmToPx: pose.tangent && !artwork.bend ? rows3(frameHomography(view, pose.tangent)) : null,
    leanDeg: pose.tangent ? leanOf(view, pose.tangent).deg : null,
    edges: (artwork.edges ?? []).map((edge) => {
      const ticks = edge.ticks.map(({ mm, x, y, rank, missing }) => {
        const px = toPx(x, y);
        const inPicture =
          px[0] >= 0 && px[1] >= 0 && px[0] <= view.camera.widthPx && px[1] <= view.camera.heightPx;
        return { mm, px, rank, missing, inPicture, blurPx: blurDiameterPx(view.lens, at[2]!) };
      });
      return {
        edge: edge.edge,
        unit: edge.unit,
        stepMm: edge.stepMm,
        ticks,
        characters: (edge.characters ?? []).map(({ character, x, y, topX, topY }) => {
          return { character, px: toPx(x, y), topPx: toPx(topX, topY) };
        }),
        pxPerMm: pxPerMmAlong(edge, pose),
      };
    }),
    points: (artwork.points ?? []).map(({ name, x, y }) => ({ name, px: toPx(x, y), mm: [x, y] })),
    regions: (artwork.regions ?? []).map((region) => regionTruth(region, pose, toPx)),
    facts: artwork.facts ?? {},
  };
}

function regionTruth(region: NamedRegion, pose: Pose, toPx: (x: number, y: number) => XY): RegionTruth {
  const points = pairsOf(region.outline);
  const ring = points.map(([x, y]) => planePoint(x, y));
  const holes = region.holes.map((hole) => pairsOf(hole).map(([x, y]) => planePoint(x, y)));
  const length = greatestLengthOf(ring);
  return {
    name: region.name,
    outlinePx: points.map(([x, y]) => toPx(x, y)),
    outlineMm: points,
    holesPx: region.holes.map((hole) => pairsOf(hole).map(([x, y]) => toPx(x, y))),
    areaMm2: areaOf({ outline: ring, holes }),
    perimeterMm: perimeterOf(ring),
    lengthMm: length.length,
    widthMm: extentAtRightAngles(ring, length.ends).width,
    chordAreaMm2: chordArea([region.outline, ...region.holes], pose),
  };
}

const pairsOf = (ring: Ring): XY[] =>
  Array.from({ length: ring.length / 2 }, (_, i) => [ring[2 * i]!, ring[2 * i + 1]!]);

/** Area as seen along the surface's normal at the thing's middle: outline minus holes. */
function chordArea(rings: readonly Ring[], pose: Pose): number {
  const o = new Float64Array(3);
  const a = new Float64Array(3);
  const b = new Float64Array(3);
  const step = 0.001;
  pose.toWorld(0, 0, o);
  pose.toWorld(step, 0, a);
  pose.toWorld(0, step, b);
  const axis = (p: Float64Array): number[] => [0, 1, 2].map((k) => (p[k]! - o[k]!) / step);
  const [ex, ey] = [axis(a), axis(b)];
  const areas = rings.map((ring) => {
    const flat = Float64Array.from(ring);
    for (let i = 0; i < ring.length; i += 2) {
      pose.toWorld(ring[i]!, ring[i + 1]!, a);
      flat[i] = [0, 1, 2].reduce((sum, k) => sum + (a[k]! - o[k]!) * ex[k]!, 0);
      flat[i + 1] = [0, 1, 2].reduce((sum, k) => sum + (a[k]! - o[k]!) * ey[k]!, 0);
    }
    return Math.abs(signedArea(flat));
  });
  return areas.reduce((sum, area, i) => (i === 0 ? area : sum - area), 0);
}

/** Derivative of the picture position along the edge at its middle, by a small central difference. */
function pxPerMmAlong(edge: NonNullable<Artwork["edges"]>[number], pose: Pose): number {
  const first = edge.ticks[0];
  const last = edge.ticks.at(-1);
  if (!first || !last || first === last) return 0;
  const length = last.mm - first.mm;
  const ux = (last.x - first.x) / length;
  const uy = (last.y - first.y) / length;
  const mx = (first.x + last.x) / 2;
  const my = (first.y + last.y) / 2;
  const step = 0.01;
  const a = new Float64Array(3);
  const b = new Float64Array(3);
  pose.project(mx - ux * step, my - uy * step, a);
  pose.project(mx + ux * step, my + uy * step, b);
  return Math.hypot(b[0]! - a[0]!, b[1]! - a[1]!) / (2 * step);
}
