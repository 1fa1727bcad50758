import type { FrameAtMeasure } from "@samescale/server";
import { useState } from "react";
import { useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { PlaceFrame } from "../../../shell/place-frame.tsx";
import { words } from "../../../words/index.ts";
import { OnRecord } from "./on-record.tsx";
import { OutlineWork } from "./outline-work.tsx";

/** One frame: what is on record of it; or an outline in the making. */
export function MeasureFrame({ frameId }: { readonly frameId: string }) {
  const answer = useAnswer<FrameAtMeasure>(`/measure/frames/${frameId}`, TOPICS);
  const [isOutlining, setOutlining] = useState<boolean | null>(null);
  if (!answer.data) {
    return (
      <PlaceFrame title={words.shell.names.measure}>
        <Answered of={answer}>{() => null}</Answered>
      </PlaceFrame>
    );
  }
  const at = answer.data;
  if (isOutlining ?? at.outlines.length === 0) {
    return <OutlineWork at={at} isBlind={false} onEnd={() => setOutlining(false)} />;
  }
  return <OnRecord at={at} onAnew={() => setOutlining(true)} />;
}

/** Whatever changes what is seen of a frame here. */
export const TOPICS = ["reading", "outline", "measurement", "frame", "placing"];

export function titleOf({ frame }: FrameAtMeasure): string {
  const { request, view, visit } = frame;
  return words.measure.title(request?.code ?? null, view?.name ?? null, visit?.date ?? null);
}
