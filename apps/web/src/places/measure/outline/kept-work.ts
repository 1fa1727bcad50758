import { emptyHistory, type OutlineHistory } from "@samescale/picture/outline";
import type { PartSaid } from "@samescale/picture/planimetry";

/** An outline in the middle: what it takes to go on with it. */
export interface KeptWork {
  readonly history: OutlineHistory;
  readonly said: PartSaid;
  /** ISO 8601, of this machine. */
  readonly at: string;
}

export interface WorkOf {
  readonly frameId: string;
  readonly person: string;
  /** Work that is done unseen is kept apart. */
  readonly isBlind: boolean;
}

/** One name for this picture and this person, in this browser. */
export const workKey = ({ frameId, person, isBlind }: WorkOf): string =>
  `samescale-outline/${person}/${frameId}${isBlind ? "/unseen" : ""}`;

/** Places in a picture and nothing of the patient; gone when the tab is closed. */
export function keepWork(key: string, work: KeptWork | null): void {
  try {
    if (work) sessionStorage.setItem(key, JSON.stringify(work));
    else sessionStorage.removeItem(key);
  } catch {
    // A browser that keeps nothing: the work is still on the page.
  }
}

export function keptWork(key: string): KeptWork | null {
  try {
    const kept = JSON.parse(sessionStorage.getItem(key) ?? "null") as KeptWork | null;
    return kept && kept.history.taken > 0 ? { ...kept, history: { ...emptyHistory, ...kept.history } } : null;
  } catch {
    return null;
  }
}
