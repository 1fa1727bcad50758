import type { Area } from "../deps.ts";

/** What happened to a frame; verifying; evidence. */
export const custodyRoutes: Area = () => {};
