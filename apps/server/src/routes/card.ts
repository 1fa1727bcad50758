import type { Area } from "../deps.ts";
import { clockRoutes } from "./card/clocks.ts";
import { dropRoutes } from "./card/drop-routes.ts";
import { intakeRoutes } from "./card/intakes.ts";
import { placingRoutes } from "./card/placing.ts";

export type * from "./card/clocks.ts";
export type * from "./card/drop-routes.ts";
export type { CardFolder, CardFolders } from "./card/folders.ts";
export type * from "./card/intakes.ts";
export type * from "./card/placing.ts";
export type { CardFileResult, CardResult } from "./card/take-in-job.ts";

/** Cards taken in, files dropped into the page, whose frames they are, camera clocks that ran wrong. */
export const cardRoutes: Area = (app, deps) => {
  intakeRoutes(app, deps);
  dropRoutes(app, deps);
  placingRoutes(app, deps);
  clockRoutes(app, deps);
};
