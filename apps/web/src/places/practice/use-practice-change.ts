import type { PracticeChanged } from "@samescale/server";
import { ask } from "../../api/client.ts";
import { useAct } from "../../api/use-answer.ts";

/** An act that changes a file of the practice: said, and taken back for ten seconds. */
export function usePracticeChange<Input>(
  run: (input: Input) => Promise<PracticeChanged>,
  say: (input: PracticeChanged) => string,
) {
  return useAct<Input, PracticeChanged>(run, {
    say,
    undo: ({ path, before, after }) => ask("POST", "/practice/change/undo", { path, before, after }),
  });
}
