import type { Area } from "../deps.ts";
import { beginRoutes } from "./first-run/begin.ts";
import { demonstrationRoutes } from "./first-run/demonstration.ts";

export type { FirstRunState, NumberTried } from "./first-run/begin.ts";
export type { DemonstrationSize } from "./first-run/demonstration.ts";

/** Three steps to a working department; removing the demonstration. */
export const firstRunRoutes: Area = (app, deps) => {
  beginRoutes(app, deps);
  demonstrationRoutes(app, deps);
};
