import { useSyncExternalStore } from "react";

const wide = matchMedia("(min-width: 60.01rem)");

/** Whether there is room for facts beside the list; below a long list nobody would find them. */
export const useIsWide = (): boolean =>
  useSyncExternalStore(
    (watch) => {
      wide.addEventListener("change", watch);
      return () => wide.removeEventListener("change", watch);
    },
    () => wide.matches,
  );
