import type { BedsideFrame, BedsideView } from "@samescale/server";
import { previewUrl } from "../../viewer/picture-url.ts";
import { words } from "../../words/index.ts";
import type { Held } from "./held.ts";
import css from "./live.module.css";

/** The newest frame, and nothing over it, unless the ghost is held over it or the baseline shown instead. */
export function NewestPicture(props: {
  readonly frame: BedsideFrame;
  readonly view: BedsideView | null;
  readonly held: Held;
  readonly path: string;
}) {
  const { frame, view, held, path } = props;
  return (
    <figure className={css.picture}>
      <img
        key={frame.id}
        src={`/api${path}/frames/${frame.id}/picture`}
        alt={words.bedside.pictureOf(frame.fileName)}
      />
      {held === "baseline" && view?.baseline && (
        <img src={previewUrl(view.baseline.sha256)} alt={words.bedside.baselineShown} />
      )}
      {held === "ghost" && view?.hasGhost && (
        <img
          src={`/api${path}/views/${encodeURIComponent(view.key)}/ghost`}
          alt={words.bedside.ghostShown}
          className={css.ghost}
        />
      )}
    </figure>
  );
}
