import { lensPosition, type View } from "../camera/view.ts";

/** The shape of the surface that is photographed. Surface millimetres are measured along it. */
export type Surface =
  | { readonly shape: "plane" }
  /** Its crest runs through the surface's origin; `axisDeg` from +x towards +y. */
  | { readonly shape: "cylinder"; readonly radiusMm: number; readonly axisDeg: number };

/** A frame that touches the surface at a point: origin and unit vectors in world millimetres, `up` off the surface. */
export interface Tangent {
  readonly origin: readonly [number, number, number];
  readonly ex: readonly [number, number, number];
  readonly ey: readonly [number, number, number];
  readonly up: readonly [number, number, number];
}

/** What things lie on: maps surface coordinates (s, t) and a height above them to world, and rays back. */
export interface Carrier {
  readonly planar: boolean;
  readonly surface: Surface;
  /** Seen in a mirror: left and right are exchanged. */
  readonly mirrored: boolean;
  toWorld(s: number, t: number, height: number, out: Float64Array): void;
  tangentAt(s: number, t: number): Tangent;
  /** Where the ray from the lens in `direction` meets the surface: writes [s, t]; false when it misses. */
  meet(direction: Float64Array, out: Float64Array): boolean;
}

const RAD = Math.PI / 180;

export function carrierOf(surface: Surface, view: View): Carrier {
  const { x, y } = view.camera.targetMm;
  if (surface.shape === "plane") return planeCarrier(view, [-x, -y, 0], 1, surface, false);
  return cylinderCarrier(surface, view);
}

/**
 * The flat surface as a mirror shows it: the point (aboutS, aboutT) of it appears at world `at`, in a plane parallel
 * to the scene's plane, with left and right exchanged.
 */
export function mirroredCarrier(
  view: View,
  about: { readonly s: number; readonly t: number },
  at: readonly [number, number, number],
): Carrier {
  const offset: [number, number, number] = [at[0] + about.s, at[1] - about.t, at[2]];
  return planeCarrier(view, offset, -1, { shape: "plane" }, true);
}

function planeCarrier(
  view: View,
  offset: readonly [number, number, number],
  signX: 1 | -1,
  surface: Surface,
  mirrored: boolean,
): Carrier {
  const lens = lensPosition(view);
  return {
    planar: true,
    surface,
    mirrored,
    toWorld(s, t, height, out) {
      out[0] = signX * s + offset[0];
      out[1] = t + offset[1];
      out[2] = offset[2] - height;
    },
    tangentAt(s, t) {
      return {
        origin: [signX * s + offset[0], t + offset[1], offset[2]],
        ex: [signX, 0, 0],
        ey: [0, 1, 0],
        up: [0, 0, -1],
      };
    },
    meet(direction, out) {
      const dz = direction[2]!;
      if (dz <= 1e-9) return false;
      const k = (offset[2] - lens[2]) / dz;
      if (k <= 0) return false;
      out[0] = signX * (lens[0] + k * direction[0]! - offset[0]);
      out[1] = lens[1] + k * direction[1]! - offset[1];
      return true;
    },
  };
}

function cylinderCarrier(surface: Surface & { shape: "cylinder" }, view: View): Carrier {
  const { radiusMm: radius, axisDeg } = surface;
  const ca = Math.cos(axisDeg * RAD);
  const sa = Math.sin(axisDeg * RAD);
  const lens = lensPosition(view);
  const raw = (s: number, t: number, height: number, out: Float64Array): void => {
    const along = s * ca + t * sa;
    const angle = (t * ca - s * sa) / radius;
    const across = (radius + height) * Math.sin(angle);
    out[0] = along * ca - across * sa;
    out[1] = along * sa + across * ca;
    out[2] = radius - (radius + height) * Math.cos(angle);
  };
  const target = new Float64Array(3);
  raw(view.camera.targetMm.x, view.camera.targetMm.y, 0, target);
  const [tx, ty, tz] = [target[0]!, target[1]!, target[2]!];
  // The lens seen in the cylinder's own frame: along and across its axis, z from the crest inwards.
  const lx = lens[0] + tx;
  const ly = lens[1] + ty;
  const lensAlong = lx * ca + ly * sa;
  const lensAcross = ly * ca - lx * sa;
  const lensZ = lens[2] + tz - radius;
  return {
    planar: false,
    surface,
    mirrored: false,
    toWorld(s, t, height, out) {
      raw(s, t, height, out);
      out[0] = out[0]! - tx;
      out[1] = out[1]! - ty;
      out[2] = out[2]! - tz;
    },
    tangentAt(s, t) {
      const p = new Float64Array(3);
      raw(s, t, 0, p);
      const angle = (t * ca - s * sa) / radius;
      const cos = Math.cos(angle);
      const sin = Math.sin(angle);
      // Unit steps along the axis, and along the surface across it.
      const alongX = [ca, sa, 0] as const;
      const acrossX = [-sa * cos, ca * cos, sin] as const;
      const mix = (a: number, b: number): [number, number, number] => [
        a * alongX[0] + b * acrossX[0],
        a * alongX[1] + b * acrossX[1],
        a * alongX[2] + b * acrossX[2],
      ];
      return {
        origin: [p[0]! - tx, p[1]! - ty, p[2]! - tz],
        ex: mix(ca, -sa),
        ey: mix(sa, ca),
        up: [-sa * sin, ca * sin, -cos],
      };
    },
    meet(direction, out) {
      const dAlong = direction[0]! * ca + direction[1]! * sa;
      const dAcross = direction[1]! * ca - direction[0]! * sa;
      const dz = direction[2]!;
      const a = dAcross * dAcross + dz * dz;
      const b = lensAcross * dAcross + lensZ * dz;
      const c = lensAcross * lensAcross + lensZ * lensZ - radius * radius;
      const disc = b * b - a * c;
      if (disc < 0) return false;
      const k = (-b - Math.sqrt(disc)) / a;
      if (k <= 0) return false;
      const angle = Math.atan2(lensAcross + k * dAcross, -(lensZ + k * dz));
      const along = lensAlong + k * dAlong;
      const across = angle * radius;
      out[0] = along * ca - across * sa;
      out[1] = along * sa + across * ca;
      return true;
    },
  };
}
