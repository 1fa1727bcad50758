import type { Camera } from "../camera/camera.ts";
import { viewOf } from "../camera/view.ts";
import { illuminationOf } from "../light/light.ts";
import type { Scene } from "../scene/scene.ts";
import { type Carrier, carrierOf } from "../surface/carrier.ts";
import { placeThing, type Staged } from "./place-things.ts";
import type { Stage } from "./stage.ts";

/** A scene before a camera, everything in its place, nothing painted yet. */
export interface SetStage {
  readonly stage: Stage;
  readonly carrier: Carrier;
  readonly sets: readonly Staged[];
}

export function setStage(scene: Scene, camera: Camera): SetStage {
  const view = viewOf(camera);
  const carrier = carrierOf(scene.surface, view);
  const stage: Stage = {
    scene,
    view,
    illumination: illuminationOf(scene.light, camera.whiteBalanceK),
    pxPerMm: view.lens.focalPx / view.lens.objectMm,
  };
  return { stage, carrier, sets: scene.things.map((thing) => placeThing(stage, carrier, thing)) };
}
