import type { BedsideView } from "@samescale/server";
import { Button } from "react-aria-components";
import buttons from "../../parts/parts.module.css";
import { thumbnailUrl } from "../../viewer/picture-url.ts";
import { words } from "../../words/index.ts";
import type { Held } from "./held.ts";
import css from "./live.module.css";

/** What the new frame shall be like. Held buttons bring it, or its ghost, to where the newest frame is. */
export function Baseline(props: {
  readonly view: BedsideView | null;
  readonly hasFrame: boolean;
  readonly hold: (held: Held) => void;
}) {
  const { view, hasFrame, hold } = props;
  const baseline = view?.baseline;
  if (!baseline) {
    return (
      <section className={css.baseline}>
        <h2>{words.bedside.baseline}</h2>
        <p className="quiet">{words.bedside.noBaseline}</p>
      </section>
    );
  }
  return (
    <section className={css.baseline}>
      <h2>{words.bedside.baseline}</h2>
      <img src={thumbnailUrl(baseline.sha256)} alt={words.bedside.baselineOf(view.name, baseline.date)} />
      <p className="quiet">{words.bedside.baselineOf(view.name, baseline.date)}</p>
      {hasFrame && (
        <div className={css.word}>
          {view.hasGhost && <HoldButton what="ghost" says={words.bedside.holdGhost} hold={hold} />}
          <HoldButton what="baseline" says={words.bedside.holdBaseline} hold={hold} />
        </div>
      )}
    </section>
  );
}

function HoldButton(props: {
  readonly what: "ghost" | "baseline";
  readonly says: string;
  readonly hold: (held: Held) => void;
}) {
  return (
    <Button
      className={`${buttons.button} ${buttons.plain} ${css.hold}`}
      onPressStart={() => props.hold(props.what)}
      onPressEnd={() => props.hold(null)}
    >
      {props.says}
    </Button>
  );
}
