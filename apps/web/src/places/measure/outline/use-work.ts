import {
  emptyHistory,
  type OutlineHistory,
  type OutlineStep,
  redone,
  takenSteps,
  undone,
  withStep,
} from "@samescale/picture/outline";
import type { PartSaid } from "@samescale/picture/planimetry";
import { useEffect, useMemo, useState } from "react";
import { type KeptWork, keepWork, keptWork, type WorkOf, workKey } from "./kept-work.ts";
import { type OtherWork, useOtherTabs } from "./other-tabs.ts";

/** An outline in the making, kept in this browser from step to step. */
export interface Work {
  readonly history: OutlineHistory;
  readonly steps: readonly OutlineStep[];
  readonly said: PartSaid;
  /** From before the page was opened anew, until the person says what to do with it. */
  readonly before: KeptWork | null;
  /** Newer work on the same picture in another tab. */
  readonly otherTab: OtherWork | null;
  add(step: OutlineStep): void;
  undo(): void;
  redo(): void;
  say(said: PartSaid): void;
  /** Begins anew; redo brings it all again, step by step. */
  takeAllBack(): void;
  /** It is on record, or not wanted: nothing is kept of it here. */
  clear(): void;
  goOn(): void;
}

export function useWork(of: WorkOf): Work {
  const key = workKey(of);
  const [history, setHistory] = useState<OutlineHistory>(emptyHistory);
  const [said, setSaid] = useState<PartSaid>({});
  const [before, setBefore] = useState(() => keptWork(key));
  const [at, setAt] = useState<string | null>(null);
  const steps = useMemo(() => takenSteps(history), [history]);
  const own = useMemo(() => (at === null ? null : { steps: steps.length, at }), [at, steps]);
  const otherTab = useOtherTabs(key, own);

  useEffect(() => {
    if (at !== null) keepWork(key, { history, said, at });
  }, [key, history, said, at]);

  const change = (next: (history: OutlineHistory) => OutlineHistory) => {
    setHistory(next);
    setAt(new Date().toISOString());
    setBefore(null);
  };
  return {
    ...{ history, steps, said, before, otherTab },
    add: (step) => change((now) => withStep(now, step)),
    undo: () => change(undone),
    redo: () => change(redone),
    say(next) {
      setSaid(next);
      setAt(new Date().toISOString());
    },
    takeAllBack: () => change((now) => ({ ...now, taken: 0 })),
    clear() {
      setHistory(emptyHistory);
      setSaid({});
      setAt(null);
      setBefore(null);
      keepWork(key, null);
    },
    goOn() {
      if (!before) return;
      setHistory(before.history);
      setSaid(before.said);
      setAt(before.at);
      setBefore(null);
    },
  };
}
