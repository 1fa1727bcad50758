import type { ErrorReport } from "@samescale/errors";
import { useSyncExternalStore } from "react";

/** Something that the person is told at the lower edge: what was done, with its undo, or what went wrong. */
export interface Notice {
  readonly id: number;
  readonly say?: string;
  readonly problem?: ErrorReport;
  readonly undo?: (() => Promise<unknown>) | undefined;
  /** A fault of the page: it can be opened anew. */
  readonly reload?: boolean;
}

const UNDO_MS = 10_000;
let notices: readonly Notice[] = [];
let nextId = 1;
const watchers = new Set<() => void>();

function set(next: readonly Notice[]): void {
  notices = next;
  for (const watch of watchers) watch();
}

export function notify(notice: Omit<Notice, "id">): void {
  const id = nextId++;
  // The same problem twice is one problem.
  const others = notices.filter(({ problem }) => !problem || problem.message !== notice.problem?.message);
  set([...others.slice(-2), { ...notice, id }]);
  if (!notice.problem) setTimeout(() => dismiss(id), UNDO_MS);
}

export function dismiss(id: number): void {
  set(notices.filter((notice) => notice.id !== id));
}

export const useNotices = (): readonly Notice[] =>
  useSyncExternalStore(
    (watch) => {
      watchers.add(watch);
      return () => watchers.delete(watch);
    },
    () => notices,
  );
