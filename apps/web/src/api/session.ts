import { useSyncExternalStore } from "react";

/**
 * Nobody is signed in any more, in the middle of the work: what was asked waits here until somebody is, then it is asked
 * again. Nothing typed or drawn is lost, as the place stays as it is below the sign-in.
 */
let waiting: PromiseWithResolvers<void> | null = null;
const watchers = new Set<() => void>();
const changed = () => {
  for (const watch of watchers) watch();
};

/** Resolves when the same person has signed in again. @param signal whoever asked wants no answer any more */
export function signedInAgain(signal?: AbortSignal): Promise<void> {
  waiting ??= Promise.withResolvers<void>();
  changed();
  const { promise } = waiting;
  if (!signal) return promise;
  return new Promise((resolve, reject) => {
    signal.addEventListener("abort", () => reject(signal.reason), { once: true });
    void promise.then(resolve);
  });
}

/** What was refused goes on. */
export function goOn(): void {
  waiting?.resolve();
  waiting = null;
  changed();
}

/** Whether something waits for somebody to sign in. */
export const useIsSignedOut = (): boolean =>
  useSyncExternalStore(
    (watch) => {
      watchers.add(watch);
      return () => watchers.delete(watch);
    },
    () => waiting !== null,
  );
