import type { OutlineStep } from "./step.ts";

/** What a person did so far, and what of it is taken back for the moment: everything that undo and redo need. */
export interface OutlineHistory {
  readonly steps: readonly OutlineStep[];
  /** The first so many of the steps count; the rest were taken back. */
  readonly taken: number;
}

export const emptyHistory: OutlineHistory = { steps: [], taken: 0 };

/** The steps that count, to replay. */
export const takenSteps = ({ steps, taken }: OutlineHistory): readonly OutlineStep[] => steps.slice(0, taken);

/** With one more step; what had been taken back is gone then. */
export const withStep = (history: OutlineHistory, step: OutlineStep): OutlineHistory => ({
  steps: [...takenSteps(history), step],
  taken: history.taken + 1,
});

/** One step back; the same history where there is none. */
export const undone = (history: OutlineHistory): OutlineHistory =>
  history.taken > 0 ? { ...history, taken: history.taken - 1 } : history;

/** One step forth again; the same history where nothing was taken back. */
export const redone = (history: OutlineHistory): OutlineHistory =>
  history.taken < history.steps.length ? { ...history, taken: history.taken + 1 } : history;
