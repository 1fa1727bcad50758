export type { Body } from "./body/body.ts";
export { type Camera, standardCamera } from "./camera/camera.ts";
export { blurDiameterPx, type Lens, lensOf } from "./camera/lens.ts";
export {
  evenLight,
  frontalLight,
  type Lamp,
  type Light,
  mixedLight,
  obliqueLight,
  ringLight,
} from "./light/light.ts";
export { openDarkroom } from "./rehearsal/darkroom.ts";
export {
  cameraOf,
  HELD_WELL,
  type HeldCamera,
  REHEARSAL_LENSES_MM,
  REHEARSAL_LIGHTS,
  REHEARSAL_RANGES,
  sceneOf,
} from "./rehearsal/held-camera.ts";
export { type HeldTruth, heldTruth } from "./rehearsal/held-truth.ts";
export {
  REHEARSAL_RATIO,
  REHEARSAL_TASKS,
  type RehearsalTask,
  resultOf,
  type TaskResult,
} from "./rehearsal/tasks.ts";
export { type Picture, renderPicture, type Shot } from "./render/render-picture.ts";
export { sceneTruth } from "./render/scene-truth.ts";
export type { CardPlan, FramePlan, Planted } from "./scenarios/card-plan.ts";
export type { Clicks } from "./scenarios/clicks.ts";
export { demoCards } from "./scenarios/demo-cards.ts";
export { demoSession } from "./scenarios/demo-session.ts";
export { type Department, demoDepartment } from "./scenarios/department.ts";
export {
  type DemoManifest,
  type MadeCard,
  type MadeFrame,
  type MakeOptions,
  makeDemoCards,
} from "./scenarios/make-demo-cards.ts";
export {
  type ClutterFacts,
  type ClutterPicture,
  clutterPicture,
} from "./scenarios/random/clutter-pictures.ts";
export { type ScaleFacts, type ScalePicture, scalePicture } from "./scenarios/random/scale-pictures.ts";
export { type Scene, standardScene, type Thing } from "./scene/scene.ts";
export { type Skin, standardSkin } from "./skin/skin.ts";
export { itaDeg, type SkinTone, skinLab } from "./skin/tone.ts";
export { type Backdrop, standardBackdrop } from "./surface/backdrop.ts";
export type { Surface } from "./surface/carrier.ts";
export type { Placement } from "./surface/pose.ts";
export type { GraduationName } from "./things/graduation.ts";
export type { ScaleStyle } from "./things/scale-style.ts";
export type { EdgeTruth, RegionTruth, ThingTruth, Truth } from "./truth/truth.ts";
export { encodePicture, type WriteOptions, writePicture } from "./write/write-picture.ts";
