export type * from "./answers.ts";
export type { GreyPicture, UprightPicture } from "./decode/picture.ts";
export { createPicturePool, defaultThreads, type PicturePool } from "./pool/pool.ts";
export type * from "./pool/tasks.ts";
