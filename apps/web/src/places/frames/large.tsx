import type { FoundFrames, FrameCard, FrameFacts } from "@samescale/server";
import { useAnswer } from "../../api/use-answer.ts";
import { Answered } from "../../parts/answered.tsx";
import { Button } from "../../parts/button.tsx";
import { PictureViewer } from "../../viewer/viewer.tsx";
import { words } from "../../words/index.ts";
import css from "./frames.module.css";

const { large: say } = words.frames;

/** One frame as large as the place; the next is one key away. A link may lead to one that the list does not reach yet. */
export function Large({
  frameId,
  all,
  counted,
  onBack,
  onStep,
}: {
  readonly frameId: string;
  readonly all: readonly FrameCard[];
  readonly counted: FoundFrames["counted"];
  readonly onBack: () => void;
  readonly onStep: (step: -1 | 1) => void;
}) {
  const frame = useAnswer<FrameFacts>(`/frames/${frameId}`, ["frame"]);
  const place = all.findIndex((one) => one.frameId === frameId) + 1;
  const of = counted ? `${counted.shown.matches}${counted.shown.more ? "+" : ""}` : "";
  return (
    <div className={css.large}>
      <div className={css.largeHead}>
        <Button onPress={onBack}>{say.back}</Button>
        <div className={css.steps}>
          <Button onPress={() => onStep(-1)}>← {say.before}</Button>
          {place > 0 && <span className="quiet">{say.place(place, of)}</span>}
          <Button onPress={() => onStep(1)}>{say.next} →</Button>
        </div>
      </div>
      <Answered of={frame}>
        {({ sha256, name }) => (
          <PictureViewer sha256={sha256} label={say.alt(name)} height="calc(100dvh - 15rem)" />
        )}
      </Answered>
    </div>
  );
}
