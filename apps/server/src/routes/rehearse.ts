import type { Area } from "../deps.ts";

/** The virtual camera, for training. */
export const rehearseRoutes: Area = () => {};
