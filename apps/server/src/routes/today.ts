import type { Area } from "../deps.ts";

/** The day: requests, what is due, what is not placed, recalls. */
export const todayRoutes: Area = () => {};
