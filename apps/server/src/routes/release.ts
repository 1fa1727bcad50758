import type { Area } from "../deps.ts";

/** What may leave, masks, receipts, recalls. */
export const releaseRoutes: Area = () => {};
