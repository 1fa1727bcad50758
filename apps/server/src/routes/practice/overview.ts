import { join } from "node:path";
import {
  calibrationsOf,
  checkPracticeFolder,
  dueOfScales,
  isStartingPractice,
  PHOTOGRAPHERS,
  RIGHTS,
  ROLES,
  type Role,
  startPractice,
} from "@samescale/desk";
import { CONSENT_SCOPES, itemsOf, SET_YOUR_OWN, toDoOn, whyUnusable, wordingFor } from "@samescale/practice";
import type { Area } from "../../deps.ts";
import type { ShownFault } from "./files.ts";

/** The practice at a glance: what holds, and what asks for somebody. */
export interface PracticeOverview {
  /** False: the starting practice, which is nobody's and is not changed. */
  readonly isOwn: boolean;
  /** Where its files lie on the server. */
  readonly folder: string;
  /** Null: it does not hold. */
  readonly holds: {
    readonly department: string;
    readonly version: number;
    readonly viewSets: number;
    readonly views: number;
    /** Things that cannot be used, or with something to do. */
    readonly kitToSee: number;
    /** Scopes whose wording is still the starting one. */
    readonly wordingsToSet: number;
    readonly retentionRules: number;
  } | null;
  readonly faults: readonly ShownFault[];
  readonly says: string;
}

/** One act, and in which roles it may be done. */
export interface ListedRight {
  readonly act: string;
  readonly does: string;
  readonly may: readonly Role[];
}

/** Wordings of the starting practice say so in their version. */
const STARTING_WORDING = /^0 /;

export const practiceOverviewRoutes: Area = (app, { desk, practiceFolder }) => {
  app.get("/practice", { config: { may: ROLES } }, async (): Promise<PracticeOverview> => {
    const folder = await practiceFolder();
    const { practice, found } = await checkPracticeFolder(folder);
    const faults = found.map(({ file, path, line, says }) => ({
      ...{ file, line, says },
      field: (path ?? []).map(String).join("."),
    }));
    const today = desk.library.clock().toISOString().slice(0, 10);
    const due = practice && dueOfScales(practice, await calibrationsOf(folder));
    return {
      isOwn: !isStartingPractice(folder),
      folder: isStartingPractice(folder) ? "" : folder,
      says: SET_YOUR_OWN,
      faults,
      holds: practice && {
        department: practice.department,
        version: practice.version,
        viewSets: practice.viewSets.length,
        views: practice.viewSets.reduce((sum, { views }) => sum + views.length, 0),
        kitToSee: itemsOf(practice.kit).filter(({ item }) => {
          const dueOn = due?.get(item.id) ?? item.dueOn;
          return whyUnusable(item) !== null || toDoOn({ ...item, ...(dueOn && { dueOn }) }, today).length > 0;
        }).length,
        wordingsToSet: CONSENT_SCOPES.filter((scope) =>
          STARTING_WORDING.test(wordingFor(practice.consent, scope)?.version ?? "0 "),
        ).length,
        retentionRules: practice.retention.length,
      },
    };
  });
  app.get(
    "/practice/rights",
    { config: { may: ROLES } },
    async (): Promise<ListedRight[]> => Object.entries(RIGHTS).map(([act, right]) => ({ act, ...right })),
  );
  app.post("/practice/own", { config: { may: PHOTOGRAPHERS } }, async () => {
    const made = await startPractice(join(desk.library.folder, "practice"));
    return { made: made.length };
  });
};
