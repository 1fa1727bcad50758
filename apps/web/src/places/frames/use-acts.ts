import type { FrameCard, VerdictBefore } from "@samescale/server";
import { ask } from "../../api/client.ts";
import { useAct } from "../../api/use-answer.ts";
import { words } from "../../words/index.ts";

const { frames: say } = words;
type Foresee = (ids: ReadonlySet<string>, change: Partial<FrameCard>) => void;

/** What can be done to frames, each with its undo. What is said shows at once. */
export function useFrameActs(foresee: Foresee) {
  const judge = useAct(
    ({
      frameIds,
      verdict,
    }: {
      readonly frameIds: readonly string[];
      readonly verdict: "keep" | "repeat";
    }) => {
      foresee(new Set(frameIds), { verdict, isByHand: true });
      return ask<{ before: VerdictBefore[] }>("POST", "/frames/judge", { frameIds, verdict }).then(
        (answer) => ({
          ...answer,
          verdict,
        }),
      );
    },
    {
      say: ({ before, verdict }) => say[verdict === "keep" ? "kept" : "repeated"](before.length),
      undo: ({ before }) => ask("POST", "/frames/judge/undo", { before }),
    },
  );
  const note = useAct(
    ({ frameIds, note: text }: { readonly frameIds: readonly string[]; readonly note: string }) =>
      ask<{ before: VerdictBefore[] }>("POST", "/frames/judge", { frameIds, note: text.trim() || null }),
    {
      say: ({ before }) => say.noted(before.length),
      undo: ({ before }) => ask("POST", "/frames/judge/undo", { before }),
    },
  );
  const putAside = useAct(
    async (wanted: { readonly frameIds: readonly string[]; readonly because: string }) => {
      await ask("POST", "/frames/put-aside", wanted);
      return wanted.frameIds;
    },
    {
      say: (ids) => say.asideDone(ids.length),
      undo: (frameIds) => ask("POST", "/frames/take-back", { frameIds, because: say.undoneReason }),
    },
  );
  const takeBack = useAct(
    async (frames: readonly FrameCard[]) => {
      const frameIds = frames.map(({ frameId }) => frameId);
      await ask("POST", "/frames/take-back", { frameIds, because: say.takeBack });
      return frames;
    },
    {
      say: (frames) => say.backDone(frames.length),
      undo: (frames) =>
        ask("POST", "/frames/put-aside", {
          frameIds: frames.map(({ frameId }) => frameId),
          because: frames[0]?.asideBecause ?? say.undone,
        }),
    },
  );
  return { judge, note, putAside, takeBack };
}
