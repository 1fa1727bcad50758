import { useState } from "react";
import { keptHere } from "../../shell/kept.ts";

const NAME = "samescale-bag ";

/**
 * What of a day's bag lies in it. Kept in this browser, for that day alone: packing is done by one pair of hands at one
 * place, and leaves nothing in the record.
 */
export function useBagTicks(day: string): [ReadonlySet<string>, (ticks: ReadonlySet<string>) => void] {
  const [kept, set] = useState(() => ({ day, ticks: read(day) }));
  const now = kept.day === day ? kept.ticks : read(day);
  return [
    now,
    (ticks) => {
      write(day, ticks);
      set({ day, ticks });
    },
  ];
}

function read(day: string): ReadonlySet<string> {
  try {
    const kept: unknown = JSON.parse(keptHere.read(NAME + day) ?? "[]");
    return new Set(Array.isArray(kept) ? kept.filter((one) => typeof one === "string") : []);
  } catch {
    return new Set();
  }
}

function write(day: string, ticks: ReadonlySet<string>): void {
  for (const name of keptHere.names()) {
    if (name.startsWith(NAME) && name !== NAME + day) keptHere.write(name, null);
  }
  keptHere.write(NAME + day, JSON.stringify([...ticks]));
}
