import { useEffect, useRef } from "react";

/** Ctrl+Z and Ctrl+Shift+Z (or Cmd), as everywhere; while somebody types they belong to the field. */
export function useUndoKeys(undo: () => void, redo: () => void): void {
  const latest = useRef({ undo, redo });
  latest.current = { undo, redo };
  useEffect(() => {
    const hear = (event: KeyboardEvent) => {
      if (!(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== "z") return;
      if ((event.target as Element).closest("input, textarea")) return;
      event.preventDefault();
      if (event.shiftKey) latest.current.redo();
      else latest.current.undo();
    };
    addEventListener("keydown", hear);
    return () => removeEventListener("keydown", hear);
  }, []);
}
