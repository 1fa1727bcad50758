import { Field } from "../../../parts/field.tsx";
import { words } from "../../../words/index.ts";
import css from "../release.module.css";
import type { Draft } from "./use-choice.ts";

const { choose: say } = words.release;

/** Who receives it, what for, until when. What is wrong with it the desk says, below. */
export function Recipient({
  draft,
  write,
}: {
  readonly draft: Draft;
  readonly write: (change: Partial<Draft>) => void;
}) {
  return (
    <div className={css.pair}>
      <Field
        label={say.to}
        hint={say.toHint}
        value={draft.to}
        onChange={(to) => write({ to })}
        maxLength={300}
        autoComplete="off"
      />
      <Field
        label={say.purpose}
        hint={say.purposeHint}
        value={draft.purpose}
        onChange={(purpose) => write({ purpose })}
        maxLength={300}
        autoComplete="off"
      />
      <Field
        label={say.until}
        hint={say.untilHint}
        value={draft.expiresOn}
        onChange={(expiresOn) => write({ expiresOn })}
        maxLength={10}
        inputMode="numeric"
        autoComplete="off"
      />
    </div>
  );
}
