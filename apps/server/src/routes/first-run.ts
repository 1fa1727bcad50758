import type { Area } from "../deps.ts";

/** Three steps to a working department; removing the demonstration. */
export const firstRunRoutes: Area = () => {};
