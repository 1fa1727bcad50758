import type { PracticeChecked, ShownFault } from "@samescale/server";
import { useEffect, useState } from "react";
import { ask } from "../../api/client.ts";

/** Typed faster than this, it is asked once. */
const WAIT_MS = 250;

const NOTHING: readonly ShownFault[] = [];

/**
 * What the practice's own rules say of a file as it would become, asked while somebody types.
 * @param wanted null: nothing was changed
 */
export function useChecked(wanted: object | null): {
  readonly faults: readonly ShownFault[];
  readonly isAsking: boolean;
} {
  const asked = wanted === null ? null : JSON.stringify(wanted);
  const [answer, setAnswer] = useState<{
    readonly of: string;
    readonly faults: readonly ShownFault[];
  } | null>(null);
  useEffect(() => {
    if (asked === null) return;
    const control = new AbortController();
    const timer = setTimeout(async () => {
      try {
        const { faults } = await ask<PracticeChecked>(
          "POST",
          "/practice/check",
          JSON.parse(asked),
          control.signal,
        );
        setAnswer({ of: asked, faults });
      } catch {
        // Lost or refused: saving asks the same rules again and says so.
      }
    }, WAIT_MS);
    return () => {
      clearTimeout(timer);
      control.abort();
    };
  }, [asked]);
  if (asked === null) return { faults: NOTHING, isAsking: false };
  return { faults: answer?.faults ?? NOTHING, isAsking: answer?.of !== asked };
}
