import type { Area } from "../deps.ts";

/** The department's own rules, kit, figures. */
export const practiceRoutes: Area = () => {};
