import { useSyncExternalStore } from "react";
import { keptHere } from "./kept.ts";

export type Light = "dim" | "light";
const KEPT = "samescale-light";

/** What a place asks for where nobody chose: the bedside is dim. */
let askedFor: Light | null = null;
const watchers = new Set<() => void>();

const now = (): Light => {
  const kept = keptHere.read(KEPT);
  if (kept === "dim" || kept === "light") return kept;
  return askedFor ?? (matchMedia("(prefers-color-scheme: light)").matches ? "light" : "dim");
};

function show(): void {
  document.documentElement.dataset.light = now();
  for (const watch of watchers) watch();
}
show();

/** Dim for the ward, light for the desk by the window. Kept in this browser. */
export function useLight(): [Light, (light: Light) => void] {
  const light = useSyncExternalStore((watch) => {
    watchers.add(watch);
    return () => watchers.delete(watch);
  }, now);
  return [
    light,
    (next) => {
      keptHere.write(KEPT, next);
      show();
    },
  ];
}

/** Dim unless the person chose otherwise. @returns back to what it was */
export function dimUnlessChosen(): () => void {
  askedFor = "dim";
  show();
  return () => {
    askedFor = null;
    show();
  };
}
