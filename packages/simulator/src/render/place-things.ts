import { blurDiameterPx } from "../camera/lens.ts";
import type { View } from "../camera/view.ts";
import { Painter } from "../raster/paint.ts";
import { type ProjectedMark, projectMark, unionOf } from "../raster/projected.ts";
import type { Thing } from "../scene/scene.ts";
import type { Bare } from "../skin/landmarks.ts";
import { skinRgb } from "../skin/tone.ts";
import type { Carrier } from "../surface/carrier.ts";
import { type Placement, type Pose, rigidPose, wrappedPose } from "../surface/pose.ts";
import { artworkOf } from "../things/artwork-of.ts";
import type { PlacedThing } from "../truth/truth.ts";
import { applyLight } from "./apply-light.ts";
import type { Layer } from "./layer.ts";
import { shadowMarks } from "./shadow.ts";
import { depthOfThing, largestDiscPx, type Stage } from "./stage.ts";

const RAD = Math.PI / 180;

/** A thing on a carrier: its artwork, its pose, and whether the lens blurs it apart from the surface. */
export interface Staged extends PlacedThing {
  readonly thing: Thing;
  readonly lifted: boolean;
}

/** Blur discs that differ by more than this are told apart. */
const APART_PX = 0.25;

export function placeThing(stage: Stage, carrier: Carrier, thing: Thing): Staged {
  const { view } = stage;
  const artwork = artworkOf(thing, {
    glint: glintOf(stage),
    skin: skinRgb(stage.scene.skin.tone),
    pxPerMm: stage.pxPerMm,
  });
  const at = thing.placement;
  const pose = (artwork.wraps ? wrappedPose : rigidPose)(view, carrier, at, artwork.bend);
  return {
    thing,
    kind: thing.kind,
    id: thing.id ?? null,
    heightMm: at.heightMm ?? 0,
    mirrored: carrier.mirrored,
    artwork,
    pose,
    lifted: isLifted(view, carrier, at, pose),
  };
}

/** Slope of a wet surface that mirrors the strongest lamp to a lens straight above. */
function glintOf(stage: Stage): { x: number; y: number } {
  const lamp = [...stage.scene.light.lamps].sort((a, b) => b.level - a.level)[0];
  if (!lamp) return { x: 0, y: 0 };
  const slope = Math.tan(((90 - lamp.elevationDeg) / 2) * RAD);
  return { x: slope * Math.cos(lamp.fromDeg * RAD), y: slope * Math.sin(lamp.fromDeg * RAD) };
}

function isLifted(view: View, carrier: Carrier, at: Placement, pose: Pose): boolean {
  if (!at.heightMm && !at.tiltXDeg && !at.tiltYDeg) return false;
  const ground = wrappedPose(view, carrier, { xMm: at.xMm, yMm: at.yMm });
  const a = new Float64Array(3);
  const b = new Float64Array(3);
  let apart = 0;
  // Tilted things leave the plane at their ends.
  for (const [x, y] of [
    [0, 0],
    [40, 0],
    [-40, 0],
    [0, 25],
    [0, -25],
  ] as const) {
    pose.project(x, y, a);
    ground.project(x, y, b);
    apart = Math.max(apart, Math.abs(blurDiameterPx(view.lens, a[2]!) - blurDiameterPx(view.lens, b[2]!)));
  }
  return apart > APART_PX;
}

/** Everything in or near the plane, with the shadows that all things throw on it. */
export function groundMarks(stage: Stage, carrier: Carrier, sets: readonly Staged[]): ProjectedMark[] {
  const marks: ProjectedMark[] = [];
  for (const set of sets) {
    marks.push(...shadowsOf(stage, carrier, set));
    if (!set.lifted) marks.push(...set.artwork.marks.map((mark) => projectMark(mark, set.pose)));
  }
  return marks;
}

function shadowsOf(stage: Stage, carrier: Carrier, set: Staged): ProjectedMark[] {
  const { shadow } = set.artwork;
  if (!shadow) return [];
  const { placement } = set.thing;
  const onSurface: Placement = {
    xMm: placement.xMm,
    yMm: placement.yMm,
    rotateDeg: placement.rotateDeg ?? 0,
  };
  const pose = wrappedPose(stage.view, carrier, onSurface, set.artwork.bend);
  const marks = shadowMarks(
    {
      rings: shadow.rings,
      heightMm: (placement.heightMm ?? 0) + shadow.heightMm,
      opacity: shadow.opacity ?? 1,
      turnDeg: placement.rotateDeg ?? 0,
    },
    stage.scene.light,
  );
  return marks.map((mark) => projectMark(mark, pose));
}

/** A thing out of the plane, in a layer of its own. */
export function liftedLayer(stage: Stage, set: Staged): Layer {
  const { view, illumination } = stage;
  const marks = set.artwork.marks.map((mark) => projectMark(mark, set.pose));
  const bounds = unionOf(marks.map((mark) => mark.box));
  const depthAt = depthOfThing(set.pose);
  const painter = new Painter();
  const height = set.heightMm;
  const own = new Float64Array(2);
  return {
    bounds,
    depthAt,
    discPx: largestDiscPx(view, depthAt, bounds),
    opaque: false,
    paint(strip) {
      for (const mark of marks) painter.paint(strip, mark);
      applyLight(strip, view, illumination, (x, y, out) => {
        if (set.pose.unproject(x, y, own)) set.pose.toWorld(own[0]!, own[1]!, out);
        else out[2] = -height;
        out[3] = 0;
        out[4] = 0;
        out[5] = -1;
      });
    },
  };
}

/** Skin under an open wound grows no hairs or moles. */
export function bareUnder(sets: readonly Staged[]): Bare {
  const holes = sets.flatMap(({ thing }) => {
    if (thing.kind !== "wound" && thing.kind !== "lesion") return [];
    const reach = Math.max(thing.lengthMm, thing.widthMm) / 2 + 3;
    return [{ x: thing.placement.xMm, y: thing.placement.yMm, reach }];
  });
  return (x, y) => holes.some((hole) => Math.hypot(x - hole.x, y - hole.y) < hole.reach);
}
