import type { FrameCard } from "@samescale/server";
import { memo, useState } from "react";
import { Verdict } from "../../parts/verdict.tsx";
import { thumbnailUrl } from "../../viewer/picture-url.ts";
import { words } from "../../words/index.ts";
import css from "./grid.module.css";
import { ratioText, timeText } from "./ratio-text.ts";

const { frames: say } = words;

export interface ThumbProps {
  readonly frame: FrameCard;
  readonly isCurrent: boolean;
  readonly isMarked: boolean;
  /** It only passes: its picture is fetched when the page slows down. */
  readonly isFlung: boolean;
  readonly onChoose: (frameId: string) => void;
  readonly onOpen: (frameId: string) => void;
  readonly onMark: (frameId: string) => void;
}

/** One frame among many: the picture, then view, verdict, ratio and time. Nothing lies over the picture. */
export const Thumb = memo(function Thumb({
  frame,
  isCurrent,
  isMarked,
  isFlung,
  onChoose,
  onOpen,
  onMark,
}: ThumbProps) {
  const { frameId, name, view, kind } = frame;
  const read = frame.ratioRead && ratioText(frame.ratioRead.value);
  const planned = frame.ratioPlanned && ratioText(frame.ratioPlanned);
  const title = kind === "label" ? say.label : kind === "video" ? say.film : (view?.name ?? say.noView);
  return (
    // biome-ignore lint/a11y/useKeyWithClickEvents: the grid has the keys
    // biome-ignore lint/a11y/useSemanticElements: lines are placed one by one, which a table cannot
    <div
      role="gridcell"
      id={`frame-${frameId}`}
      tabIndex={isCurrent ? 0 : -1}
      aria-selected={isMarked}
      aria-current={isCurrent || undefined}
      className={css.thumb}
      onClick={() => onChoose(frameId)}
      onDoubleClick={() => onOpen(frameId)}
    >
      <Small sha256={frame.sha256} isFilm={kind === "video"} isFlung={isFlung} />
      <div className={css.caption}>
        <span className="only-heard">{name}</span>
        <span className={css.title}>{title}</span>
        <span className={css.line}>
          {kind === "picture" && <Verdict verdict={frame.verdict ?? "not-judged"} />}
          <span className={`${css.time} quiet`}>{timeText(frame.takenAt).slice(11) || name}</span>
        </span>
        <span className={css.line}>
          {kind === "picture" && <span>{say.ratioPair(read, planned || null)}</span>}
          {frame.note !== null && <span className={css.tag}>{say.hasNote}</span>}
          {frame.sensitive.length > 0 && <span className={css.tag}>{say.sensitive}</span>}
        </span>
      </div>
      <button
        type="button"
        tabIndex={-1}
        className={css.mark}
        aria-label={say.mark(name)}
        aria-pressed={isMarked}
        onClick={(event) => {
          event.stopPropagation();
          onMark(frameId);
        }}
      >
        <span aria-hidden="true" />
      </button>
    </div>
  );
});

function Small({
  sha256,
  isFilm,
  isFlung,
}: {
  readonly sha256: string;
  readonly isFilm: boolean;
  readonly isFlung: boolean;
}) {
  const [isMissing, setMissing] = useState(isFilm);
  // Once fetched it stays.
  const [isDue, setDue] = useState(!isFlung);
  if (!isFlung && !isDue) setDue(true);
  return (
    <div className={css.small}>
      {isMissing ? (
        <span className="quiet">{isFilm ? say.film : say.noPicture}</span>
      ) : isDue ? (
        <img
          src={thumbnailUrl(sha256)}
          alt=""
          decoding="async"
          draggable={false}
          onError={() => setMissing(true)}
        />
      ) : null}
    </div>
  );
}
