import type { BedsideNow } from "@samescale/server";
import { Button } from "../../parts/button.tsx";
import { Choices } from "../../parts/choice.tsx";
import { Dialog } from "../../parts/dialog.tsx";
import { Verdict } from "../../parts/verdict.tsx";
import { words } from "../../words/index.ts";
import css from "./session-dialog.module.css";
import { SIGNALS, type Signal } from "./signal.ts";
import type { Awake } from "./wake-lock.ts";

/** What is not needed at every frame: all frames so far, sound, whether the screen stays awake, the end. */
export function SessionDialog(props: {
  readonly now: BedsideNow;
  readonly awake: Awake;
  readonly signal: readonly [Signal, (signal: Signal) => void];
  readonly isOpen: boolean;
  readonly onClose: () => void;
  readonly onEnd: () => void;
}) {
  const { now, awake, signal, isOpen, onClose, onEnd } = props;
  const { frames, passedOver, folder } = now;
  return (
    <Dialog title={words.bedside.session} isOpen={isOpen} onClose={onClose}>
      <p>
        {now.title}
        <br />
        <span className="quiet">{`${words.bedside.watched}: ${folder ?? ""}`}</span>
      </p>
      <section>
        <h3>{words.bedside.frames(frames.length)}</h3>
        <ul className={css.frames}>
          {frames.map(({ id, fileName, judged, word, problem }) => (
            <li key={id}>
              <Verdict verdict={word?.said ?? judged?.verdict ?? "not-judged"} />
              <span>
                {judged?.say ?? problem?.message ?? words.bedside.looking}
                <br />
                <span className="quiet">
                  {[fileName, judged?.viewName, word && `${words.bedside.yourWord}: ${word.by}`]
                    .filter(Boolean)
                    .join(", ")}
                </span>
              </span>
            </li>
          ))}
        </ul>
      </section>
      {passedOver.length > 0 && (
        <section>
          <h3>{words.bedside.passedOver}</h3>
          <ul className={css.frames}>
            {passedOver.map(({ fileName, why }) => (
              <li key={fileName + why}>{`${fileName}: ${why}`}</li>
            ))}
          </ul>
        </section>
      )}
      <Choices
        label={words.bedside.signal}
        options={SIGNALS.map((value) => ({ value, label: words.bedside.signals[value] }))}
        value={signal[0]}
        onChange={signal[1]}
      />
      <p className="quiet">{words.bedside.awake[awake]}</p>
      <Button look="chief" onPress={onEnd}>
        {words.bedside.end}
      </Button>
    </Dialog>
  );
}
