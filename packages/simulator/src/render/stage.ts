import { drawnDiscPx } from "../camera/lens.ts";
import { rayThrough, type View } from "../camera/view.ts";
import type { DepthAt } from "../lens/blur.ts";
import type { Illumination } from "../light/light.ts";
import type { Scene } from "../scene/scene.ts";
import type { Extent } from "../skin/mottling.ts";
import type { Carrier } from "../surface/carrier.ts";
import type { Pose } from "../surface/pose.ts";

/** One exposure being made. */
export interface Stage {
  readonly scene: Scene;
  readonly view: View;
  readonly illumination: Illumination;
  readonly pxPerMm: number;
}

const MOST_FIELDS = 3;

/** The surface millimetres that the picture can show, with a margin. */
export function extentOf(view: View, pose: Pose): Extent {
  const at = new Float64Array(2);
  let [left, top, right, bottom] = [Infinity, Infinity, -Infinity, -Infinity];
  const { widthPx, heightPx } = view.camera;
  for (let j = -4; j <= 4; j++) {
    for (let i = -4; i <= 4; i++) {
      const x = widthPx * (0.5 + i * 0.135);
      const y = heightPx * (0.5 + j * 0.135);
      if (!pose.unproject(x, y, at)) continue;
      left = Math.min(left, at[0]!);
      right = Math.max(right, at[0]!);
      top = Math.min(top, at[1]!);
      bottom = Math.max(bottom, at[1]!);
    }
  }
  if (!Number.isFinite(left)) return { left: -1, top: -1, right: 1, bottom: 1 };
  // Near the horizon a picture shows miles of surface, too small to tell anything on it.
  const { targetMm, sensorMm, magnification } = view.camera;
  const most = (MOST_FIELDS * Math.hypot(sensorMm.width, sensorMm.height)) / magnification;
  // A mirror shows the surface round another place than the one the camera is aimed at.
  const seen = pose.unproject(widthPx / 2, heightPx / 2, at);
  const [x, y] = seen ? [at[0]!, at[1]!] : [targetMm.x, targetMm.y];
  return {
    left: Math.max(left, x - most),
    top: Math.max(top, y - most),
    right: Math.min(right, x + most),
    bottom: Math.min(bottom, y + most),
  };
}

/** Depth of a carrier's surface behind each picture place. */
export function depthOn(view: View, carrier: Carrier): DepthAt {
  const ray = new Float64Array(3);
  const st = new Float64Array(2);
  const world = new Float64Array(3);
  const r = view.rotation;
  return (x, y) => {
    rayThrough(view, x, y, ray);
    if (!carrier.meet(ray, st)) return view.lens.focusMm;
    carrier.toWorld(st[0]!, st[1]!, 0, world);
    return r[6]! * world[0]! + r[7]! * world[1]! + r[8]! * world[2]! + view.lens.objectMm;
  };
}

/** Depth of a thing, from its own pose; where the ray misses it, that of its middle. */
export function depthOfThing(pose: Pose): DepthAt {
  const own = new Float64Array(2);
  const at = new Float64Array(3);
  return (x, y) => {
    if (!pose.unproject(x, y, own)) own.fill(0);
    pose.project(own[0]!, own[1]!, at);
    return at[2]!;
  };
}

export function largestDiscPx(
  view: View,
  depthAt: DepthAt,
  box: { left: number; top: number; right: number; bottom: number },
): number {
  let most = 0;
  for (const fy of [0, 0.5, 1]) {
    for (const fx of [0, 0.5, 1]) {
      const depth = depthAt(box.left + fx * (box.right - box.left), box.top + fy * (box.bottom - box.top));
      most = Math.max(most, drawnDiscPx(view.lens, depth));
    }
  }
  return most;
}
