import { Button } from "../../../parts/button.tsx";
import { words } from "../../../words/index.ts";
import { timeSaid } from "../figures/said.ts";
import css from "../measure.module.css";
import type { KeptWork } from "./kept-work.ts";

const w = words.measure.kept;

/** Work that was in the middle when the page went away, offered again. */
export function KeptBefore({
  work,
  onGoOn,
  onThrowAway,
}: {
  readonly work: KeptWork;
  readonly onGoOn: () => void;
  readonly onThrowAway: () => void;
}) {
  return (
    <div className={css.note} role="status">
      <p>
        <strong>{w.title}</strong> {w.from(work.history.taken, timeSaid(work.at))}
      </p>
      <div className={css.acts}>
        <Button look="chief" onPress={onGoOn}>
          {w.goOn}
        </Button>
        <Button onPress={onThrowAway}>{w.throwAway}</Button>
      </div>
    </div>
  );
}
