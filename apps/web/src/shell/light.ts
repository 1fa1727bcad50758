import { useState } from "react";

export type Light = "dim" | "light";
const KEPT = "samescale-light";

const now = (): Light => {
  const kept = localStorage.getItem(KEPT);
  if (kept === "dim" || kept === "light") return kept;
  return matchMedia("(prefers-color-scheme: light)").matches ? "light" : "dim";
};

document.documentElement.dataset.light = now();

/** Dim for the ward, light for the desk by the window. Kept in this browser. */
export function useLight(): [Light, (light: Light) => void] {
  const [light, set] = useState(now);
  return [
    light,
    (next) => {
      localStorage.setItem(KEPT, next);
      document.documentElement.dataset.light = next;
      set(next);
    },
  ];
}
