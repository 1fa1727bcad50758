import type { ComparedFrame } from "@samescale/server";
import { useMemo } from "react";
import { useAnswer } from "../../api/use-answer.ts";
import { Answered } from "../../parts/answered.tsx";
import { Button } from "../../parts/button.tsx";
import { Verdict } from "../../parts/verdict.tsx";
import { createSharedView } from "../../viewer/shared-view.ts";
import { PictureViewer } from "../../viewer/viewer.tsx";
import { words } from "../../words/index.ts";
import css from "./frames.module.css";
import { ratioText, timeText } from "./ratio-text.ts";

const { comparing: say } = words.frames;

/** Two to four frames that are moved and enlarged together, a millimetre as long in each where their scales were read. */
export function Compare({
  ids,
  onBack,
  onDrop,
}: {
  readonly ids: readonly string[];
  readonly onBack: () => void;
  readonly onDrop: (frameId: string) => void;
}) {
  const answer = useAnswer<ComparedFrame[]>(`/frames/compare?ids=${ids.join(",")}`, [
    "frame",
    "verdict",
    "reading",
  ]);
  return (
    <div className={css.compare}>
      <Button onPress={onBack}>{words.frames.large.back}</Button>
      <Answered of={answer}>
        {(frames) => (frames.length < 2 ? <p>{say.tooFew}</p> : <Side frames={frames} onDrop={onDrop} />)}
      </Answered>
    </div>
  );
}

function Side({
  frames,
  onDrop,
}: {
  readonly frames: readonly ComparedFrame[];
  readonly onDrop: (frameId: string) => void;
}) {
  const known = frames.filter(({ mmPerPx }) => mmPerPx !== null);
  const names = frames.filter(({ mmPerPx }) => mmPerPx === null).map(({ card }) => card.name);
  const isSame = names.length === 0;
  const isInMm = known.length > 0 && isSame;
  // biome-ignore lint/correctness/useExhaustiveDependencies: other units, another view
  const shared = useMemo(createSharedView, [isInMm]);
  return (
    <>
      <p role="status">
        <strong>
          {isSame ? say.sameScale : known.length === 0 ? say.noScale : say.notSameScale(names.join(", "))}
        </strong>{" "}
        <span className="quiet">{say.follow}</span>
      </p>
      <div className={css.panes} data-count={frames.length}>
        {frames.map(({ card, mmPerPx }) => (
          <section key={card.frameId} aria-label={card.name} className={css.pane}>
            <PictureViewer
              sha256={card.sha256}
              label={words.frames.large.alt(card.name)}
              height={frames.length > 2 ? "calc(50dvh - 8rem)" : "calc(100dvh - 17rem)"}
              shared={shared}
              unitPerPx={isInMm ? (mmPerPx ?? undefined) : undefined}
            />
            <div className={css.paneCaption}>
              <strong>{card.name}</strong>
              <Verdict verdict={card.verdict ?? "not-judged"} />
              <span>
                {card.ratioRead ? ratioText(card.ratioRead.value) : words.frames.ratioPair(null, null)}
              </span>
              <span className="quiet">{timeText(card.takenAt)}</span>
              {frames.length > 2 && (
                <Button look="bare" aria-label={say.remove(card.name)} onPress={() => onDrop(card.frameId)}>
                  ×
                </Button>
              )}
            </div>
          </section>
        ))}
      </div>
    </>
  );
}
