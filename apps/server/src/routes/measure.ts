import type { Area } from "../deps.ts";

/** Reading a scale, outlines, measurements, blind repeats. */
export const measureRoutes: Area = () => {};
