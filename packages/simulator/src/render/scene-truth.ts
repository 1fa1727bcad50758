import { type Camera, checkCamera } from "../camera/camera.ts";
import type { Scene } from "../scene/scene.ts";
import { type Truth, truthOf } from "../truth/truth.ts";
import { setStage } from "./set-stage.ts";

/** What a picture of the scene would show, without painting it: to choose a view by. What mirrors show is left out. */
export function sceneTruth(scene: Scene, camera: Camera): Truth {
  checkCamera(camera);
  const { stage, carrier, sets } = setStage(scene, camera);
  return truthOf(scene, stage.view, carrier, sets, 0);
}
