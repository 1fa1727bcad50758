import type { Placed, Undone } from "@samescale/server";
import { useState } from "react";
import { ask } from "../../../api/client.ts";
import { useAct } from "../../../api/use-answer.ts";
import { words } from "../../../words/index.ts";

export interface ToPlace {
  readonly frameIds: readonly string[];
  /** Code of the request. */
  readonly to: string;
  readonly because: string;
  readonly visitId: string | null;
}

const takeBack = (frameIds: readonly string[]) => ask<Undone>("POST", "/card/place/undo", { frameIds });

/** Placing, with its undo of just that placing, and what follows from it where anything does. */
export function usePlacing(onPlaced: () => void) {
  const [follows, setFollows] = useState<Placed | null>(null);
  const act = useAct(
    async ({ frameIds, to, because, visitId }: ToPlace) => {
      const placed = await ask<Placed>("POST", "/card/place", { frameIds, request: to, because, visitId });
      onPlaced();
      if (placed.doubts.length + placed.released.length + placed.stale.length > 0) setFollows(placed);
      return { ...placed, frameIds, to };
    },
    {
      say: ({ moved, to }) => words.card.waiting.placed(moved, to),
      undo: ({ frameIds }) => takeBack(frameIds),
    },
  );
  return { place: (wanted: ToPlace) => act.mutate(wanted), follows, forget: () => setFollows(null) };
}
