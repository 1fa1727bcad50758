import type { Area } from "../deps.ts";
import { chooseRoutes } from "./release/choose.ts";
import { fileRoutes } from "./release/files.ts";
import { leaveRoutes } from "./release/leave.ts";
import { maskRoutes } from "./release/masks.ts";
import { projectRoutes } from "./release/projects.ts";
import { recallRoutes } from "./release/recalls.ts";
import { receiptRoutes } from "./release/receipts.ts";

export type * from "./release/choose.ts";
export type * from "./release/leave.ts";
export type * from "./release/masks.ts";
export type * from "./release/projects.ts";
export type * from "./release/recalls.ts";
export type * from "./release/receipts.ts";

/** What may leave, masks, receipts, recalls. Whether something leaves is the desk's to say, at every one of them. */
export const releaseRoutes: Area = (app, deps) => {
  for (const routes of [
    chooseRoutes,
    maskRoutes,
    leaveRoutes,
    receiptRoutes,
    fileRoutes,
    recallRoutes,
    projectRoutes,
  ]) {
    routes(app, deps);
  }
};
