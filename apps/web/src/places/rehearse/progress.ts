import { useState } from "react";
import { keptHere } from "../../shell/kept.ts";

const KEPT = "samescale-rehearsed";

function kept(): readonly string[] {
  try {
    const read: unknown = JSON.parse(keptHere.read(KEPT) ?? "[]");
    return Array.isArray(read) ? read.filter((one) => typeof one === "string") : [];
  } catch {
    return [];
  }
}

/** Which tasks were done, in this browser alone: it is nobody's record. */
export function useProgress() {
  const [done, set] = useState(kept);
  const keep = (next: readonly string[]) => {
    keptHere.write(KEPT, JSON.stringify(next));
    set(next);
  };
  return {
    done,
    add: (task: string) => keep([...new Set([...done, task])]),
    forget: () => keep([]),
  };
}
