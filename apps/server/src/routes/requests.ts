import type { Area } from "../deps.ts";
import { askingRoutes } from "./requests/asking.ts";
import { consentRoutes } from "./requests/consent.ts";
import { planRoutes } from "./requests/plan.ts";
import { shotCardRoutes } from "./requests/shot-card.ts";

export type * from "./requests/asking.ts";
export type * from "./requests/consent.ts";
export type * from "./requests/plan.ts";

/** Requests, consent, plans, shot cards. */
export const requestsRoutes: Area = (app, deps) => {
  for (const area of [askingRoutes, consentRoutes, planRoutes, shotCardRoutes]) area(app, deps);
};
