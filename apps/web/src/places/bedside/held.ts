import { useEffect, useState } from "react";

/** What is laid over, or shown instead of, the newest frame while a button or key is held. */
export type Held = "ghost" | "baseline" | null;

/** @returns what is held, and how it is begun and ended; a key is ended when it is let go */
export function useHeld(): readonly [Held, (held: Held) => void, (held: Held) => void] {
  const [held, hold] = useState<Held>(null);
  useEffect(() => {
    if (held === null) return;
    const letGo = () => hold(null);
    addEventListener("blur", letGo);
    return () => removeEventListener("blur", letGo);
  }, [held]);
  const holdByKey = (what: Held) => {
    hold(what);
    addEventListener("keyup", () => hold(null), { once: true });
  };
  return [held, hold, holdByKey];
}
