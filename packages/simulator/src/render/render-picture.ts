import { type Camera, checkCamera } from "../camera/camera.ts";
import { blurDiameterPx } from "../camera/lens.ts";
import { rayThrough, type View, viewOf } from "../camera/view.ts";
import { blurStrip, type DepthAt, spreadPx } from "../lens/blur.ts";
import { illuminationOf } from "../light/light.ts";
import { Painter } from "../raster/paint.ts";
import { type ProjectedMark, projectMark } from "../raster/projected.ts";
import { clearStrip, movedStrip, newStrip } from "../raster/strip.ts";
import type { Scene } from "../scene/scene.ts";
import { Sensor } from "../sensor/sensor.ts";
import type { Extent } from "../skin/mottling.ts";
import { type Carrier, carrierOf } from "../surface/carrier.ts";
import { type Pose, rigidPose, wrappedPose } from "../surface/pose.ts";
import { artworkOf } from "../things/artwork-of.ts";
import { type PlacedThing, type Truth, truthOf } from "../truth/truth.ts";
import { applyLight } from "./apply-light.ts";
import { paintSkin, prepareSkin } from "./paint-skin.ts";

export interface Picture {
  /** Upright pixels, sRGB, 3 bytes each. */
  readonly rgb: Uint8Array<ArrayBuffer>;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly truth: Truth;
}

export interface Shot {
  readonly scene: Scene;
  readonly camera: Camera;
  /** Everything that happens by chance in this one exposure. */
  readonly seed: number;
}

const BAND_ROWS = 96;

/** Makes the picture that the camera takes of the scene, with all that is true of it. Same input, same bytes. */
export async function renderPicture(shot: Shot): Promise<Picture> {
  const { scene, camera, seed } = shot;
  checkCamera(camera);
  const view = viewOf(camera);
  const carrier = carrierOf(scene.surface, view);
  const illumination = illuminationOf(scene.light, camera.whiteBalanceK);
  const things = scene.things.map((thing): PlacedThing => {
    const artwork = artworkOf(thing);
    const place = artwork.wraps ? wrappedPose : rigidPose;
    return {
      kind: thing.kind,
      id: thing.id ?? null,
      heightMm: thing.placement.heightMm ?? 0,
      mirrored: carrier.mirrored,
      artwork,
      pose: place(view, carrier, thing.placement, artwork.bend),
    };
  });
  const surfacePose = wrappedPose(view, carrier, { xMm: 0, yMm: 0 });
  const skin = prepareSkin(scene.skin, view, surfacePose, illumination, extentOf(view, surfacePose));
  const marks = things.flatMap((thing) => thing.artwork.marks.map((mark) => projectMark(mark, thing.pose)));
  const rgb = new Uint8Array(camera.widthPx * camera.heightPx * 3);
  const depthAt = depthOn(view, carrier);
  const reach = spreadPx(view.lens, largestDisc(view, depthAt)) + 1;
  const sensor = new Sensor(camera, seed);
  const painter = new Painter();
  const wide = camera.widthPx + 2 + 2 * reach;
  let sharp = newStrip(0, 0, wide, BAND_ROWS + 2 + 2 * reach);
  let soft = newStrip(0, 0, camera.widthPx + 2, BAND_ROWS + 2);
  for (let y = 0; y < camera.heightPx; y += BAND_ROWS) {
    const rows = Math.min(BAND_ROWS, camera.heightPx - y);
    sharp = movedStrip(sharp, -1 - reach, y - 1 - reach, wide, rows + 2 + 2 * reach);
    soft = movedStrip(soft, -1, y - 1, camera.widthPx + 2, rows + 2);
    clearStrip(sharp);
    paintSkin(sharp, skin);
    for (const mark of marks) painter.paint(sharp, mark);
    applyLight(sharp, view, illumination, facingOn(view, carrier));
    blurStrip(sharp, soft, view.lens, depthAt, false);
    sensor.develop(soft, 1, rows + 1, 1, camera.widthPx, rgb, y);
  }
  return {
    rgb,
    widthPx: camera.widthPx,
    heightPx: camera.heightPx,
    truth: truthOf(scene, view, carrier, things, seed),
  };
}

export type { ProjectedMark };

/** The surface millimetres that the picture can show, with a margin. */
function extentOf(view: View, pose: Pose): Extent {
  const at = new Float64Array(2);
  let [left, top, right, bottom] = [Infinity, Infinity, -Infinity, -Infinity];
  const { widthPx, heightPx } = view.camera;
  for (let j = 0; j <= 8; j++) {
    for (let i = 0; i <= 8; i++) {
      if (
        !pose.unproject(
          widthPx * (i / 4 - 1) * 0.54 + widthPx / 2,
          heightPx * (j / 4 - 1) * 0.54 + heightPx / 2,
          at,
        )
      )
        continue;
      left = Math.min(left, at[0]!);
      right = Math.max(right, at[0]!);
      top = Math.min(top, at[1]!);
      bottom = Math.max(bottom, at[1]!);
    }
  }
  if (!Number.isFinite(left)) return { left: -1, top: -1, right: 1, bottom: 1 };
  return { left, top, right, bottom };
}

function depthOn(view: View, carrier: Carrier): DepthAt {
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

function largestDisc(view: View, depthAt: DepthAt): number {
  let most = 0;
  for (const fy of [0, 0.5, 1]) {
    for (const fx of [0, 0.5, 1]) {
      const depth = depthAt(fx * view.camera.widthPx, fy * view.camera.heightPx);
      most = Math.max(most, blurDiameterPx(view.lens, depth));
    }
  }
  return most;
}

function facingOn(view: View, carrier: Carrier): (x: number, y: number, out: Float64Array) => void {
  const ray = new Float64Array(3);
  const st = new Float64Array(2);
  return (x, y, out) => {
    rayThrough(view, x, y, ray);
    if (!carrier.meet(ray, st)) {
      out.fill(0);
      out[5] = -1;
      return;
    }
    carrier.toWorld(st[0]!, st[1]!, 0, out);
    if (carrier.planar) {
      out[3] = 0;
      out[4] = 0;
      out[5] = -1;
    } else {
      const { up } = carrier.tangentAt(st[0]!, st[1]!);
      out[3] = up[0];
      out[4] = up[1];
      out[5] = up[2];
    }
  };
}
