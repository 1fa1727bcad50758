import type { Area } from "../deps.ts";

/** Requests: asked for, marked, consented, planned. */
export const requestsRoutes: Area = () => {};
