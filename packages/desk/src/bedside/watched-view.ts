import type { PlannedView, ViewToJudge } from "@samescale/practice";

/** A view as far as the watch needs it. */
export interface WatchedView extends ViewToJudge, Pick<PlannedView, "objectDistanceMm"> {
  readonly view: ViewToJudge["view"] & Pick<PlannedView["view"], "key" | "name" | "chart">;
}
