import type { ProposedMask } from "@samescale/server";
import { useState } from "react";

export type XY = readonly [x: number, y: number];

/** What a person covers, in pixels of the upright original. */
export interface DrawnArea {
  readonly id: number;
  readonly kind: string;
  readonly polygon: readonly XY[];
}

export type Said = "cover" | "leave";

/** Everything that a person said of one picture. */
export interface MaskWork {
  readonly proposed: readonly (Said | null)[];
  readonly areas: readonly DrawnArea[];
  readonly answers: Readonly<Record<string, string>>;
}

const MOST_STEPS = 200;
let nextId = 1;
export const newArea = (kind: string, polygon: readonly XY[]): DrawnArea => ({ id: nextId++, kind, polygon });

/** What was confirmed before is taken over; the questions are asked anew. */
export function beginning(
  { proposals }: ProposedMask,
  confirmed: readonly { readonly kind: string; readonly polygon: readonly XY[] }[] | null,
): MaskWork {
  const keyOf = (polygon: readonly XY[]) => JSON.stringify(polygon);
  const before = new Set(confirmed?.map(({ polygon }) => keyOf(polygon)));
  const proposed = new Set(proposals.areas.map(({ polygon }) => keyOf(polygon)));
  return {
    proposed: proposals.areas.map(({ polygon }) =>
      confirmed === null ? null : before.has(keyOf(polygon)) ? "cover" : null,
    ),
    areas: (confirmed ?? [])
      .filter(({ polygon }) => !proposed.has(keyOf(polygon)))
      .map(({ kind, polygon }) => newArea(kind, polygon)),
    answers: {},
  };
}

export interface MaskSteps {
  readonly work: MaskWork;
  /** @param isSameStep goes on with the last step: a drag, a key that is held */
  change(next: Partial<MaskWork>, isSameStep?: boolean): void;
  readonly canUndo: boolean;
  undo(): void;
}

/** Every step can be taken back. */
export function useMaskSteps(first: MaskWork): MaskSteps {
  const [steps, setSteps] = useState<readonly MaskWork[]>([first]);
  return {
    work: steps.at(-1)!,
    change(next, isSameStep = false) {
      setSteps((before) => {
        const now = { ...before.at(-1)!, ...next };
        const kept = isSameStep && before.length > 1 ? before.slice(0, -1) : before;
        return [...kept.slice(-MOST_STEPS), now];
      });
    },
    canUndo: steps.length > 1,
    undo: () => setSteps((before) => (before.length > 1 ? before.slice(0, -1) : before)),
  };
}
