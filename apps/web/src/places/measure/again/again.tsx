import type { ChosenToRepeat, FrameAtMeasure, OutlineSaved } from "@samescale/server";
import { useQuery } from "@tanstack/react-query";
import { useState } from "react";
import { ask } from "../../../api/client.ts";
import { useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { Empty } from "../../../parts/empty.tsx";
import { Link } from "../../../parts/link.tsx";
import { PlaceFrame } from "../../../shell/place-frame.tsx";
import { words } from "../../../words/index.ts";
import { OutlineWork } from "../work/outline-work.tsx";
import { Compared } from "./compared.tsx";

const w = words.measure.again;

/** Outlining a picture once more that somebody outlined before, without seeing that outline. */
export function Again() {
  const [round, setRound] = useState(0);
  const [saved, setSaved] = useState<OutlineSaved | null>(null);
  // Chosen by lot, so it is asked for once and not refreshed under the hand.
  const chosen = useQuery({
    queryKey: ["/measure/again", round],
    queryFn: ({ signal }) => ask<ChosenToRepeat>("GET", "/measure/again", undefined, signal),
    staleTime: Number.POSITIVE_INFINITY,
    refetchOnWindowFocus: false,
  });
  const frameId = chosen.data?.frameId ?? null;
  const at = useAnswer<FrameAtMeasure>(frameId === null ? null : `/measure/frames/${frameId}?blind=yes`);
  const next = () => {
    setSaved(null);
    setRound((n) => n + 1);
  };
  if (saved && at.data) return <Compared at={at.data} saved={saved} onNext={next} />;
  if (at.data) {
    return (
      <OutlineWork
        key={frameId}
        at={at.data}
        isBlind
        onEnd={(kept) => (kept ? setSaved(kept) : history.back())}
      />
    );
  }
  return (
    <PlaceFrame title={w.title}>
      <Answered of={chosen}>
        {({ reason }) =>
          reason === null ? (
            <Answered of={at}>{() => null}</Answered>
          ) : (
            <Empty title={w.none}>
              <p>{reason}.</p>
              <Link to="/measure" look="chief">
                {words.measure.back}
              </Link>
            </Empty>
          )
        }
      </Answered>
    </PlaceFrame>
  );
}
