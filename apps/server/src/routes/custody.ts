import type { Area } from "../deps.ts";
import { headRoutes } from "./custody/heads.ts";
import { logRoutes } from "./custody/log.ts";
import { proofRoutes } from "./custody/proofs.ts";
import { verifyRoutes } from "./custody/verify.ts";

export type * from "./custody/heads.ts";
export type * from "./custody/log.ts";
export type * from "./custody/verify.ts";

/** The log, what happened to a frame, whether everything holds, signed heads, proofs. */
export const custodyRoutes: Area = (app, deps) => {
  logRoutes(app, deps);
  verifyRoutes(app, deps);
  headRoutes(app, deps);
  proofRoutes(app, deps);
};
