import type { WaitingFrame } from "@samescale/server";
import { Button, Checkbox } from "react-aria-components";
import { thumbnailUrl } from "../../../viewer/picture-url.ts";
import { words } from "../../../words/index.ts";
import css from "../card.module.css";

const said = words.card.waiting;

/** A frame that waits: its picture, its name and time below it, why it waits where that is not said for the group. */
export function FrameTile({ frame, why }: { readonly frame: WaitingFrame; readonly why: boolean }) {
  return (
    <>
      {frame.sha256 === null ? (
        <div className={css.noPicture} />
      ) : (
        <img className={css.thumb} src={thumbnailUrl(frame.sha256)} alt="" loading="lazy" draggable={false} />
      )}
      <div className={css.caption}>
        <Checkbox slot="selection" className={css.mark ?? ""}>
          <span className={css.markBox} aria-hidden="true" />
        </Checkbox>
        <span className={css.name}>
          <span>{frame.name}</span>
          <span className="quiet">{frame.takenAt?.slice(11, 16) ?? said.noTime}</span>
        </span>
        <Button slot="drag" className={css.handle ?? ""} aria-label={`${said.drag} ${frame.name}`}>
          <svg viewBox="0 0 12 20" aria-hidden="true">
            <path
              d="M3 4h.01M9 4h.01M3 10h.01M9 10h.01M3 16h.01M9 16h.01"
              stroke="currentColor"
              strokeWidth="3"
              strokeLinecap="round"
            />
          </svg>
        </Button>
      </div>
      {why && <p className={css.why}>{frame.why}.</p>}
      {frame.flags.length > 0 && <p className={`quiet ${css.why}`}>{frame.flags.join(". ")}</p>}
    </>
  );
}
