import type { Desk } from "@samescale/desk";
import { lastActAt } from "@samescale/desk";

/** The clock of a demonstration: it goes on from its last act, so that its day is still today whenever it is opened. */
export function demoClock(): { readonly now: () => Date; setFrom(desk: Desk): Promise<void> } {
  let begin = Date.now();
  let sinceMs = performance.now();
  return {
    now: () => new Date(begin + performance.now() - sinceMs),
    async setFrom(desk) {
      begin = Date.parse((await lastActAt(desk)) ?? new Date(begin).toISOString());
      sinceMs = performance.now();
    },
  };
}
