import { useState } from "react";

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
    const kept: unknown = JSON.parse(localStorage.getItem(NAME + day) ?? "[]");
    return new Set(Array.isArray(kept) ? kept.filter((one) => typeof one === "string") : []);
  } catch {
    return new Set();
  }
}

function write(day: string, ticks: ReadonlySet<string>): void {
  try {
    for (const name of Object.keys(localStorage)) {
      if (name.startsWith(NAME) && name !== NAME + day) localStorage.removeItem(name);
    }
    localStorage.setItem(NAME + day, JSON.stringify([...ticks]));
  } catch {
    // A browser that keeps nothing still ticks until the page is closed.
  }
}
