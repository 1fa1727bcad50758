import { objectDistanceMm } from "@samescale/optics";
import { type Camera, standardCamera } from "../camera/camera.ts";
import { lensPosition, viewOf } from "../camera/view.ts";
import { evenLight, frontalLight, type Light, mixedLight, obliqueLight, ringLight } from "../light/light.ts";
import { legScene } from "../scenarios/subjects.ts";
import type { Scene, Thing } from "../scene/scene.ts";

export const REHEARSAL_LENSES_MM = [60, 100, 180] as const;
export const REHEARSAL_LIGHTS = ["two-sides", "one-lamp", "ring", "mixed"] as const;
export type RehearsalLight = (typeof REHEARSAL_LIGHTS)[number];

/** How the virtual camera is held, its lens set, its lamp and scale placed: what hands do, nothing else. */
export interface HeldCamera {
  readonly focalMm: (typeof REHEARSAL_LENSES_MM)[number];
  /** Set on the lens: where it is sharp follows from it. */
  readonly ratioSet: number;
  /** Lens to skin. */
  readonly distanceMm: number;
  /** Up and down round the subject, aiming at the same spot. */
  readonly leanDeg: number;
  /** Left and right round the subject. */
  readonly swingDeg: number;
  readonly rollDeg: number;
  readonly aimXMm: number;
  readonly aimYMm: number;
  readonly light: RehearsalLight;
  /** Of the one lamp: 0 from the right, 90 from below. */
  readonly lampFromDeg: number;
  /** Of the one lamp, above the skin. */
  readonly lampElevationDeg: number;
  readonly exposureStops: number;
  readonly scaleXMm: number;
  readonly scaleYMm: number;
  readonly scaleTurnDeg: number;
  /** How far the scale stands over the skin. */
  readonly scaleHeightMm: number;
}

type Numbers = Exclude<keyof HeldCamera, "focalMm" | "light">;

/** How far each can be moved, and the step of a slider. */
export const REHEARSAL_RANGES: Readonly<
  Record<Numbers, { readonly min: number; readonly max: number; readonly step: number }>
> = {
  ratioSet: { min: 0.1, max: 0.5, step: 0.005 },
  distanceMm: { min: 150, max: 1800, step: 5 },
  leanDeg: { min: -30, max: 30, step: 1 },
  swingDeg: { min: -30, max: 30, step: 1 },
  rollDeg: { min: -30, max: 30, step: 1 },
  aimXMm: { min: -40, max: 40, step: 1 },
  aimYMm: { min: -40, max: 40, step: 1 },
  lampFromDeg: { min: 0, max: 355, step: 5 },
  lampElevationDeg: { min: 20, max: 85, step: 1 },
  exposureStops: { min: -2, max: 2, step: 0.25 },
  scaleXMm: { min: -50, max: 40, step: 1 },
  scaleYMm: { min: -40, max: 40, step: 1 },
  scaleTurnDeg: { min: -45, max: 45, step: 1 },
  scaleHeightMm: { min: 0, max: 30, step: 1 },
};

/** Held as planned: 1:4, square, sharp, lit evenly. */
export const HELD_WELL: HeldCamera = {
  focalMm: 100,
  ratioSet: 0.25,
  distanceMm: 500,
  leanDeg: 0,
  swingDeg: 0,
  rollDeg: 0,
  aimXMm: 0,
  aimYMm: 0,
  light: "two-sides",
  lampFromDeg: 270,
  lampElevationDeg: 45,
  exposureStops: 0,
  scaleXMm: -25,
  scaleYMm: -20,
  scaleTurnDeg: 0,
  scaleHeightMm: 0,
};

/** Beyond this from the sharp plane everything is a haze, and the camera's model ends. */
const MOST_OFF_FOCUS = 0.45;

/** Where the lens is sharp as it is set. */
export const sharpAtMm = ({ focalMm, ratioSet }: Pick<HeldCamera, "focalMm" | "ratioSet">): number =>
  objectDistanceMm(focalMm, ratioSet);

/** The distance as far as it can be drawn. */
export function drawnDistanceMm(held: HeldCamera): number {
  const sharp = sharpAtMm(held);
  return Math.min(sharp * (1 + MOST_OFF_FOCUS), Math.max(sharp / (1 + MOST_OFF_FOCUS), held.distanceMm));
}

/**
 * A lens set to a ratio keeps its image distance v = f(1 + m); at another distance u than the sharp one the ratio is v / u,
 * and the picture is unsharp. @source Ray2002 (thin lens)
 */
export function cameraOf(held: HeldCamera, widthPx: number): Camera {
  const { focalMm, ratioSet } = held;
  const distanceMm = drawnDistanceMm(held);
  return standardCamera({
    focalMm,
    fNumber: 11,
    magnification: (focalMm * (1 + ratioSet)) / distanceMm,
    focusOffsetMm: sharpAtMm(held) - distanceMm,
    widthPx,
    heightPx: Math.round((widthPx * 2) / 3),
    targetMm: { x: held.aimXMm, y: held.aimYMm },
    leanXDeg: held.leanDeg,
    leanYDeg: held.swingDeg,
    rollDeg: held.rollDeg,
    exposureStops: held.exposureStops,
    lensModel: `Virtual ${focalMm} mm close-up`,
    jpegQuality: 88,
  });
}

const LEG_MM = 60;
const LEG_WIDTH_MM = 25.4;
const ONE_LAMP_MM = 900;

function lightOf({ light, lampFromDeg, lampElevationDeg }: HeldCamera): Light {
  switch (light) {
    case "two-sides":
      return evenLight();
    case "ring":
      return ringLight();
    case "mixed":
      return mixedLight();
    case "one-lamp":
      return lampElevationDeg > 70
        ? { ...frontalLight(), lamps: [lampAt(lampFromDeg, lampElevationDeg)] }
        : { ...obliqueLight(), lamps: [lampAt(lampFromDeg, lampElevationDeg)] };
  }
}

const lampAt = (fromDeg: number, elevationDeg: number) => ({
  ...obliqueLight(fromDeg, elevationDeg).lamps[0]!,
  distanceMm: ONE_LAMP_MM,
});

const RAD = Math.PI / 180;
/** Radius of the mirrored lamp on a glossy face at these distances. */
const GLARE_MM = 13;

/**
 * Where a flat glossy face at skin height mirrors the one lamp into the lens, in the scale's own millimetres; null where it
 * does not lie on the scale. Lamp and lens at heights h: the spot divides their distance along the skin as the heights do.
 */
export function glareOnScale(held: HeldCamera): { readonly xMm: number; readonly yMm: number } | null {
  if (held.light !== "one-lamp") return null;
  const flat = Math.cos(held.lampElevationDeg * RAD) * ONE_LAMP_MM;
  const lamp = {
    x: held.aimXMm + flat * Math.cos(held.lampFromDeg * RAD),
    y: held.aimYMm + flat * Math.sin(held.lampFromDeg * RAD),
    h: Math.sin(held.lampElevationDeg * RAD) * ONE_LAMP_MM,
  };
  const [cx, cy, cz] = lensPosition(viewOf(cameraOf(held, 480)));
  const lens = { x: held.aimXMm + cx, y: held.aimYMm + cy, h: -cz };
  const share = lens.h / (lens.h + lamp.h);
  const spot = { x: lens.x + (lamp.x - lens.x) * share, y: lens.y + (lamp.y - lens.y) * share };
  const [c, s] = [Math.cos(-held.scaleTurnDeg * RAD), Math.sin(-held.scaleTurnDeg * RAD)];
  const [dx, dy] = [spot.x - held.scaleXMm, spot.y - held.scaleYMm];
  const own = { xMm: dx * c - dy * s, yMm: dx * s + dy * c };
  return isOnScale(own.xMm, own.yMm) ? own : null;
}

/** The L's two legs with the spot's own reach round them. */
function isOnScale(x: number, y: number): boolean {
  const near = -LEG_WIDTH_MM - GLARE_MM;
  const far = LEG_MM + 4 + GLARE_MM;
  const onX = x > near && x < far && y > near && y < GLARE_MM;
  const onY = y > near && y < far && x > near && x < GLARE_MM;
  return onX || onY;
}

export function sceneOf(held: HeldCamera): Scene {
  const placement = {
    xMm: held.scaleXMm,
    yMm: held.scaleYMm,
    rotateDeg: held.scaleTurnDeg,
    heightMm: held.scaleHeightMm,
  };
  const scale: Thing = { kind: "l-scale", placement, legMm: LEG_MM };
  const spot = glareOnScale(held);
  const [c, s] = [Math.cos(held.scaleTurnDeg * RAD), Math.sin(held.scaleTurnDeg * RAD)];
  const glare: readonly Thing[] = spot
    ? [
        {
          kind: "glare",
          placement: {
            ...placement,
            xMm: held.scaleXMm + spot.xMm * c - spot.yMm * s,
            yMm: held.scaleYMm + spot.xMm * s + spot.yMm * c,
          },
          lengthMm: 2 * GLARE_MM,
          widthMm: 2 * GLARE_MM,
        },
      ]
    : [];
  // Skin that fills the picture: where a limb ends and how it rounds takes longer to draw than all the rest.
  const { body: _, ...scene } = legScene(1, [scale, ...glare]);
  return { ...scene, light: lightOf(held) };
}
