import { emptyHistory, type OutlineHistory } from "@samescale/picture/outline";
import type { PartSaid } from "@samescale/picture/planimetry";
import { keptInWindow } from "../../../shell/kept.ts";

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
  keptInWindow.write(key, work && JSON.stringify(work));
}

export function keptWork(key: string): KeptWork | null {
  try {
    const kept = JSON.parse(keptInWindow.read(key) ?? "null") as KeptWork | null;
    return kept && kept.history.taken > 0 ? { ...kept, history: { ...emptyHistory, ...kept.history } } : null;
  } catch {
    return null;
  }
}
