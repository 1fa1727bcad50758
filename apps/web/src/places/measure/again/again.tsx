import type { ErrorReport } from "@samescale/errors";
import type { ChosenToRepeat, FrameAtMeasure, OutlineSaved } from "@samescale/server";
import { useEffect, useState } from "react";
import { ask, reportFrom } from "../../../api/client.ts";
import { useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { Empty } from "../../../parts/empty.tsx";
import { Link } from "../../../parts/link.tsx";
import { Problem } from "../../../parts/problem.tsx";
import { PlaceFrame } from "../../../shell/place-frame.tsx";
import { words } from "../../../words/index.ts";
import { OutlineWork } from "../work/outline-work.tsx";
import { Compared } from "./compared.tsx";

const w = words.measure.again;

/** Outlining a picture once more that somebody outlined before, without seeing that outline. */
export function Again() {
  const [round, setRound] = useState(0);
  const [saved, setSaved] = useState<OutlineSaved | null>(null);
  const [chosen, setChosen] = useState<ChosenToRepeat | null>(null);
  const [problem, setProblem] = useState<ErrorReport | null>(null);
  // Chosen by lot: asked for once, and not anew when something else is.
  // biome-ignore lint/correctness/useExhaustiveDependencies: another round chooses another one.
  useEffect(() => {
    const stop = new AbortController();
    ask<ChosenToRepeat>("GET", "/measure/again", undefined, stop.signal)
      .then(setChosen)
      .catch((thrown) => stop.signal.aborted || setProblem(reportFrom(thrown)));
    return () => stop.abort();
  }, [round]);
  const frameId = chosen?.frameId ?? null;
  const at = useAnswer<FrameAtMeasure>(frameId === null ? null : `/measure/frames/${frameId}?blind=yes`);
  const next = () => {
    setSaved(null);
    setChosen(null);
    setProblem(null);
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
      {problem && <Problem report={problem} again={next} />}
      {frameId !== null && <Answered of={at}>{() => null}</Answered>}
      {chosen?.reason && (
        <Empty title={w.none}>
          <p>{chosen.reason}.</p>
          <Link to="/measure" look="chief">
            {words.measure.back}
          </Link>
        </Empty>
      )}
    </PlaceFrame>
  );
}
