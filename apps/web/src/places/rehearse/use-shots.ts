import type { HeldCamera, JudgedRehearsal, QuickShot } from "@samescale/server";
import { useEffect, useRef, useState } from "react";
import { ask, reportFrom } from "../../api/client.ts";
import { notify } from "../../shell/notices.ts";

/** How long the hand has to be still until the picture is worth judging. */
const STILL_MS = 300;

export interface Shots {
  /** As the picture's address; null: none yet. */
  readonly picture: string | null;
  /** What is said of this very picture; null: the hand still moves, or it is being looked at. */
  readonly judged: JudgedRehearsal | null;
}

const asAddress = (base64: string) => `data:image/jpeg;base64,${base64}`;

/**
 * A small picture while the hand moves, one at a time and always of the newest position; a sharp, judged one as soon as it
 * is still. What was asked for and is not wanted any more is called off.
 */
export function useShots(held: HeldCamera | null, task: string | null): Shots {
  const [picture, setPicture] = useState<string | null>(null);
  const [judged, setJudged] = useState<{ of: HeldCamera; shot: JudgedRehearsal } | null>(null);
  const newest = useRef(held);
  const isUnderWay = useRef(false);
  newest.current = held;

  useEffect(() => {
    if (held === null) return;
    const off = new AbortController();
    const quick = async () => {
      if (isUnderWay.current) return;
      isUnderWay.current = true;
      try {
        for (let of: HeldCamera | null = null; of !== newest.current; ) {
          of = newest.current;
          const shot = await ask<QuickShot>("POST", "/rehearse/quick", { held: of });
          setPicture(asAddress(shot.picture));
        }
      } catch (thrown) {
        notify({ problem: reportFrom(thrown) });
      } finally {
        isUnderWay.current = false;
      }
    };
    void quick();
    const still = setTimeout(async () => {
      try {
        const shot = await ask<JudgedRehearsal>("POST", "/rehearse/judged", { held, task }, off.signal);
        if (!off.signal.aborted) setJudged({ of: held, shot });
      } catch (thrown) {
        if (!off.signal.aborted) notify({ problem: reportFrom(thrown) });
      }
    }, STILL_MS);
    return () => {
      clearTimeout(still);
      off.abort();
    };
  }, [held, task]);

  const isOfNow = judged !== null && judged.of === held;
  return {
    picture: isOfNow ? asAddress(judged.shot.picture) : picture,
    judged: isOfNow ? judged.shot : null,
  };
}
