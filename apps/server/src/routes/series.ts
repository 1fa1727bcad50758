import type { Area } from "../deps.ts";

/** Visits compared at one scale. */
export const seriesRoutes: Area = () => {};
