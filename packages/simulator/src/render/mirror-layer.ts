import { Painter } from "../raster/paint.ts";
import { boxOf, projectRing } from "../raster/projected.ts";
import { movedStrip, newStrip } from "../raster/strip.ts";
import { mirroredCarrier } from "../surface/carrier.ts";
import { type Mirror, mirrorGlass } from "../things/mirror.ts";
import type { PlacedThing } from "../truth/truth.ts";
import { backdropLayer } from "./backdrop-layer.ts";
import { compositeOver } from "./composite.ts";
import { clip, groundLayer } from "./ground-layer.ts";
import type { Layer } from "./layer.ts";
import { bareUnder, groundMarks, placeThing, type Staged } from "./place-things.ts";
import type { Stage } from "./stage.ts";

/** Silvered glass gives back this much. */
const REFLECTANCE = 0.9;

/** What a mirror shows: the flat surface round another place, left and right exchanged. */
export function mirrorLayer(
  stage: Stage,
  mirror: Staged & { readonly thing: Mirror },
): {
  layer: Layer;
  reflected: readonly PlacedThing[];
} {
  const { thing } = mirror;
  const world = new Float64Array(3);
  mirror.pose.toWorld(0, 0, world);
  const about = { s: thing.reflects.xMm, t: thing.reflects.yMm };
  const carrier = mirroredCarrier(stage.view, about, [world[0]!, world[1]!, thing.behindMm ?? 0]);
  const others = stage.scene.things.filter((other) => other.kind !== "mirror");
  const sets = others.map((other) => placeThing(stage, carrier, other));
  const ground = groundLayer(stage, carrier, groundMarks(stage, carrier, sets), bareUnder(sets));
  const backdrop = ground.opaque ? null : backdropLayer(stage);
  const glass = projectRing(mirrorGlass(thing), mirror.pose);
  const painter = new Painter();
  let behind = newStrip(0, 0, 1, 1);
  return {
    reflected: sets,
    layer: {
      ...ground,
      bounds: boxOf(glass),
      opaque: false,
      paint(strip) {
        ground.paint(strip);
        if (backdrop) {
          behind = movedStrip(behind, strip.x0, strip.y0, strip.width, strip.height);
          backdrop.paint(behind);
          compositeOver(behind, strip);
          const n = strip.width * strip.height;
          strip.r.set(behind.r.subarray(0, n));
          strip.g.set(behind.g.subarray(0, n));
          strip.b.set(behind.b.subarray(0, n));
          strip.a.fill(1, 0, n);
        }
        for (const plane of [strip.r, strip.g, strip.b]) {
          for (let i = 0; i < strip.width * strip.height; i++) plane[i] = plane[i]! * REFLECTANCE;
        }
        clip(strip, painter, [glass]);
      },
    },
  };
}
