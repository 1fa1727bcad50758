import { useEffect, useRef, useSyncExternalStore } from "react";
import { keptHere } from "./kept.ts";

/** One key of a place. */
export interface Key {
  /** As `KeyboardEvent.key` names it; letters in lower case. */
  readonly key: string;
  /** What it does, for the list that `?` shows. */
  readonly does: string;
  readonly run: () => void;
}

interface Group {
  readonly title: string;
  readonly keys: readonly Key[];
}

const KEPT = "samescale-single-keys";
let groups: readonly Group[] = [];
const watchers = new Set<() => void>();
const changed = () => {
  for (const watch of watchers) watch();
};

/** Whether single letters act. People who speak to their machine turn them off. @source Wcag22 (2.1.4) */
let areOn = keptHere.read(KEPT) !== "off";

export const singleKeys = {
  areOn: () => areOn,
  turn(on: boolean) {
    areOn = on;
    keptHere.write(KEPT, on ? "on" : "off");
    changed();
  },
};

/** While the calling part is shown, its keys act, the newest part first. Not while somebody types. */
export function useKeys(title: string, keys: readonly Key[]): void {
  const latest = useRef(keys);
  latest.current = keys;
  const named = keys.map(({ key, does }) => `${key} ${does}`).join("\n");
  // biome-ignore lint/correctness/useExhaustiveDependencies: `named` stands for the keys; what they run is read anew.
  useEffect(() => {
    const group: Group = {
      title,
      get keys() {
        return latest.current;
      },
    };
    groups = [...groups, group];
    changed();
    return () => {
      groups = groups.filter((other) => other !== group);
      changed();
    };
  }, [title, named]);
}

export const useKeyGroups = (): readonly Group[] =>
  useSyncExternalStore(
    (watch) => {
      watchers.add(watch);
      return () => watchers.delete(watch);
    },
    () => groups,
  );

const TYPING = "input, textarea, select, [contenteditable], [role=textbox], [role=listbox], [role=menu]";
const NOT_TYPING = "input[type=checkbox], input[type=radio], input[type=range]";

addEventListener("keydown", (event) => {
  if (event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey) return;
  const at = event.target as Element;
  if (at.closest(TYPING) && !at.matches(NOT_TYPING)) return;
  // In front of a dialog only its own keys act.
  const dialog = document.querySelector("[role=dialog]");
  if (dialog && !dialog.contains(at)) return;
  const pressed = event.key.length === 1 ? event.key.toLowerCase() : event.key;
  if (event.key.length === 1 && !areOn && pressed !== "?") return;
  // Enter and space belong to what has the focus.
  if (
    (pressed === "Enter" || pressed === " ") &&
    at.closest("button, a, [role=button], [role=row], [role=option]")
  )
    return;
  for (const { keys } of groups.toReversed()) {
    const found = keys.find(({ key }) => key === pressed);
    if (!found) continue;
    event.preventDefault();
    found.run();
    return;
  }
});
