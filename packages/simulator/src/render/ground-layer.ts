import { bodyArt } from "../body/body.ts";
import { roundnessOf, type SidewaysAt } from "../body/roundness.ts";
import { rayThrough } from "../camera/view.ts";
import { Painter } from "../raster/paint.ts";
import { boxOf, type ProjectedMark, projectMark, projectRing, unionOf } from "../raster/projected.ts";
import type { Strip } from "../raster/strip.ts";
import { type Bare, landmarksOf } from "../skin/landmarks.ts";
import type { Carrier } from "../surface/carrier.ts";
import { wrappedPose } from "../surface/pose.ts";
import { applyLight, type FacingAt } from "./apply-light.ts";
import type { Layer } from "./layer.ts";
import { paintSkin, prepareSkin } from "./paint-skin.ts";
import { depthOn, extentOf, largestDiscPx, type Stage } from "./stage.ts";

/** The surface with everything that lies in its plane. `marks` in the order of painting, already projected. */
export function groundLayer(
  stage: Stage,
  carrier: Carrier,
  marks: readonly ProjectedMark[],
  bare: Bare,
): Layer {
  const { scene, view, illumination, pxPerMm } = stage;
  const pose = wrappedPose(view, carrier, { xMm: 0, yMm: 0 });
  const extent = extentOf(view, pose);
  const skin = prepareSkin(scene.skin, view, pose, illumination, extent);
  const art = scene.body ? bodyArt(scene.body, scene.skin.tone) : null;
  const project = (mark: Parameters<typeof projectMark>[0]): ProjectedMark => projectMark(mark, pose);
  const onSkin = [...(art?.details ?? []), ...landmarksOf(scene.skin, extent, pxPerMm, bare)].map(project);
  const over = (art?.over ?? []).map(project);
  const outline = (art?.outline ?? visibleSide(carrier, stage)).map((ring) => projectRing(ring, pose));
  const sideways = art ? roundnessOf(art.rounded ?? art.outline, art.roundMm, extent) : null;
  const depthAt = depthOn(view, carrier);
  const facingAt = facingOn(stage, carrier, sideways);
  const painter = new Painter();
  const { widthPx, heightPx } = view.camera;
  return {
    bounds:
      outline.length === 0
        ? null
        : unionOf([...outline.map(boxOf), ...[...over, ...marks].map(({ box }) => box)]),
    depthAt,
    discPx: largestDiscPx(view, depthAt, { left: 0, top: 0, right: widthPx, bottom: heightPx }),
    opaque: outline.length === 0,
    paint(strip) {
      paintSkin(strip, skin);
      for (const mark of onSkin) painter.paint(strip, mark);
      if (outline.length > 0) clip(strip, painter, outline);
      for (const mark of over) painter.paint(strip, mark);
      for (const mark of marks) painter.paint(strip, mark);
      applyLight(strip, view, illumination, facingAt);
    },
  };
}

let kept = new Float32Array(0);

/** Keeps only what lies inside the rings. */
export function clip(strip: Strip, painter: Painter, rings: readonly Float64Array[]): void {
  const { r, g, b, a } = strip;
  const n = strip.width * strip.height;
  if (kept.length < n) kept = new Float32Array(n);
  const before = kept;
  before.set(a.subarray(0, n));
  painter.mask(strip, rings);
  for (let i = 0; i < n; i++) {
    const share = a[i]!;
    if (share === 1) {
      a[i] = before[i]!;
      continue;
    }
    r[i] = r[i]! * share;
    g[i] = g[i]! * share;
    b[i] = b[i]! * share;
    a[i] = before[i]! * share;
  }
}

/** The strip of a cylinder that the lens can see, as an outline; nothing for a plane. */
function visibleSide(carrier: Carrier, stage: Stage): Float64Array[] {
  const { surface } = carrier;
  if (surface.shape === "plane") return [];
  const { radiusMm, axisDeg } = surface;
  const distance = stage.view.lens.objectMm;
  // The tangent from the lens touches at acos(R / (R + distance)); a little less keeps the edge off the horizon.
  const half = radiusMm * Math.acos(radiusMm / (radiusMm + distance)) * 0.985;
  const far = 40 * radiusMm + 4000;
  const c = Math.cos((axisDeg * Math.PI) / 180);
  const s = Math.sin((axisDeg * Math.PI) / 180);
  const reach = Math.min(far, (stage.view.camera.sensorMm.width / stage.view.camera.magnification) * 2);
  const corner = (along: number, across: number): [number, number] => [
    along * c - across * s,
    along * s + across * c,
  ];
  return [
    Float64Array.from([
      ...corner(-reach, -half),
      ...corner(reach, -half),
      ...corner(reach, half),
      ...corner(-reach, half),
    ]),
  ];
}

function facingOn(stage: Stage, carrier: Carrier, sideways: SidewaysAt | null): FacingAt {
  const { view } = stage;
  const ray = new Float64Array(3);
  const st = new Float64Array(2);
  const side = new Float64Array(2);
  return (x, y, out) => {
    rayThrough(view, x, y, ray);
    if (!carrier.meet(ray, st)) {
      out.fill(0);
      out[5] = -1;
      return;
    }
    carrier.toWorld(st[0]!, st[1]!, 0, out);
    if (!carrier.planar) {
      const { up } = carrier.tangentAt(st[0]!, st[1]!);
      out[3] = up[0];
      out[4] = up[1];
      out[5] = up[2];
      return;
    }
    side.fill(0);
    sideways?.(st[0]!, st[1]!, side);
    out[3] = carrier.mirrored ? -side[0]! : side[0]!;
    out[4] = side[1]!;
    out[5] = -Math.sqrt(Math.max(0.02, 1 - side[0]! ** 2 - side[1]! ** 2));
  };
}
