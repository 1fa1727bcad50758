import type { Area } from "../deps.ts";

/** Cards taken in, uploads, whose frames they are. */
export const cardRoutes: Area = () => {};
