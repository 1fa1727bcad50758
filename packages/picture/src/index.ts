export type * from "./answers.ts";
export type { GreyPicture, UprightPicture } from "./decode/picture.ts";
export { regionsFromJson } from "./planimetry/regions-from-json.ts";
export { scaleFromJson } from "./planimetry/scale-from-json.ts";
export { createPicturePool, defaultThreads, type PicturePool } from "./pool/pool.ts";
export type * from "./pool/tasks.ts";
export type { KnownScale } from "./scale/own-length/known-scale.ts";
export { SCALE_KINDS, type ScaleKind } from "./scale/person/kinds.ts";
export { SCALE_MATERIALS, type ScaleMaterial } from "./scale/tolerance.ts";
