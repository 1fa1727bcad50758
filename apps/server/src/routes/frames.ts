import type { Area } from "../deps.ts";

/** Frames: found, looked at, judged. */
export const framesRoutes: Area = () => {};
