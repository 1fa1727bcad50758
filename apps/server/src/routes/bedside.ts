import type { Area } from "../deps.ts";

/** The newest frame and what to do about it. */
export const bedsideRoutes: Area = () => {};
