import { useState } from "react";

/** What was typed and not saved, by file and view: it is still there when somebody comes back to it. */
const drafts = new Map<string, Draft>();

/** New values by field, as they stand in the file; null: taken away. */
export type Draft = Readonly<Record<string, unknown>>;

/** The draft of one view. @param place file, its version and the view */
export function useDraft(place: string): [Draft, (next: Draft) => void] {
  const [, redraw] = useState(0);
  const set = (next: Draft) => {
    if (Object.keys(next).length === 0) drafts.delete(place);
    else drafts.set(place, next);
    redraw((n) => n + 1);
  };
  return [drafts.get(place) ?? {}, set];
}
