export { type Camera, standardCamera } from "./camera/camera.ts";
export {
  evenLight,
  frontalLight,
  type Light,
  mixedLight,
  obliqueLight,
  ringLight,
} from "./light/light.ts";
export { type Picture, renderPicture, type Shot } from "./render/render-picture.ts";
export { type Scene, standardScene, type Thing } from "./scene/scene.ts";
export { type Skin, standardSkin } from "./skin/skin.ts";
export type { Surface } from "./surface/carrier.ts";
export type { LScale } from "./things/l-scale.ts";
export type { StraightScale } from "./things/straight-scale.ts";
export type { Truth } from "./truth/truth.ts";
export { encodePicture, type WriteOptions, writePicture } from "./write/write-picture.ts";
