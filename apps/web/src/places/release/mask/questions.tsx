import type { ReleaseChoices } from "@samescale/server";
import { Choices } from "../../../parts/choice.tsx";
import { words } from "../../../words/index.ts";
import css from "./mask.module.css";
import type { MaskSteps } from "./use-mask.ts";

const { mask: say } = words.release;
const ANSWERS = Object.entries(say.answers).map(([value, label]) => ({ value, label }));

/** Everything by which people are known: asked of a person for every picture, whether something here looks for it or not. */
export function Questions({
  questions,
  steps: { work, change },
  open,
}: {
  readonly questions: ReleaseChoices["questions"];
  readonly steps: MaskSteps;
  readonly open: number;
}) {
  return (
    <section className={css.part} aria-labelledby="questions">
      <h2 id="questions">{say.questions}</h2>
      <p className="quiet" role="status">
        {say.answered(questions.length - open, questions.length)}
      </p>
      {questions.map(({ kind, asks }) => (
        <Choices
          key={kind}
          label={asks}
          options={ANSWERS}
          value={work.answers[kind] ?? null}
          onChange={(answer) => change({ answers: { ...work.answers, [kind]: answer } })}
        />
      ))}
    </section>
  );
}
