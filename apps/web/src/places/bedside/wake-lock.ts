import { useEffect, useState } from "react";

export type Awake = "asking" | "kept" | "cannot";

/**
 * Keeps the screen from going dark while the page is seen; the system takes it back when the page is hidden, so it is asked
 * for again. @source ScreenWakeLock
 */
export function useWakeLock(): Awake {
  const [state, set] = useState<Awake>("asking");
  useEffect(() => {
    let lock: WakeLockSentinel | null = null;
    let isOver = false;
    const keep = async () => {
      if (document.visibilityState !== "visible") return;
      try {
        lock = await navigator.wakeLock.request("screen");
        if (isOver) await lock.release();
        else set("kept");
      } catch {
        if (!isOver) set("cannot");
      }
    };
    void keep();
    const again = () => void keep();
    document.addEventListener("visibilitychange", again);
    return () => {
      isOver = true;
      document.removeEventListener("visibilitychange", again);
      void lock?.release();
    };
  }, []);
  return state;
}
