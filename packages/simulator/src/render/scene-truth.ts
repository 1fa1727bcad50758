import { type Camera, checkCamera } from "../camera/camera.ts";
import { viewOf } from "../camera/view.ts";
import { illuminationOf } from "../light/light.ts";
import type { Scene } from "../scene/scene.ts";
import { carrierOf } from "../surface/carrier.ts";
import { type Truth, truthOf } from "../truth/truth.ts";
import { placeThing } from "./place-things.ts";
import type { Stage } from "./stage.ts";

/** What a picture of the scene would show, without painting it: to choose a view by. What mirrors show is left out. */
export function sceneTruth(scene: Scene, camera: Camera): Truth {
  checkCamera(camera);
  const view = viewOf(camera);
  const carrier = carrierOf(scene.surface, view);
  const stage: Stage = {
    scene,
    view,
    illumination: illuminationOf(scene.light, camera.whiteBalanceK),
    pxPerMm: view.lens.focalPx / view.lens.objectMm,
  };
  const placed = scene.things.map((thing) => placeThing(stage, carrier, thing));
  return truthOf(scene, view, carrier, placed, 0);
}
