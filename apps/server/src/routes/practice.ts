import type { Area } from "../deps.ts";
import { figureRoutes } from "./practice/figures.ts";
import { practiceFileRoutes } from "./practice/files.ts";
import { keepingRoutes } from "./practice/keeping.ts";
import { kitRoutes } from "./practice/kit.ts";
import { practiceOverviewRoutes } from "./practice/overview.ts";
import { retentionRoutes } from "./practice/retention.ts";
import { scaleRoutes } from "./practice/scales.ts";
import { viewSetRoutes } from "./practice/view-sets.ts";
import { wordingRoutes } from "./practice/wordings.ts";

export type { BackupMade, Destroyed, PracticeChanged, Role, ScaleToMeasure } from "@samescale/desk";
export type { FrontOffset, ViewFigure } from "@samescale/practice";
export type { ShownFigures } from "./practice/figures.ts";
export type { PracticeChecked, ShownFault, ShownPracticeFile } from "./practice/files.ts";
export type { ShownBackup, ShownKeeping } from "./practice/keeping.ts";
export type { KitThing, MeasuredLens, ShownKit } from "./practice/kit.ts";
export type { ListedRight, PracticeOverview } from "./practice/overview.ts";
export type { ShownHold, ShownRetention, ShownTrash } from "./practice/retention.ts";
export type { ShownScales } from "./practice/scales.ts";
export type { ListedViewSet, ViewSetToEdit, ViewToEdit } from "./practice/view-sets.ts";
export type { ShownWording, WordingsOfScope } from "./practice/wordings.ts";

/** The department's own rules, kit, people's wordings, keeping and figures. */
export const practiceRoutes: Area = (app, deps) => {
  practiceOverviewRoutes(app, deps);
  practiceFileRoutes(app, deps);
  viewSetRoutes(app, deps);
  kitRoutes(app, deps);
  scaleRoutes(app, deps);
  wordingRoutes(app, deps);
  retentionRoutes(app, deps);
  keepingRoutes(app, deps);
  figureRoutes(app, deps);
};
