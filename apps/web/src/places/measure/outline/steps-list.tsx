import type { OutlineHistory } from "@samescale/picture/outline";
import { words } from "../../../words/index.ts";
import css from "../measure.module.css";

const w = words.measure.tools;

/** What was done so far; what was taken back is struck out until something else is done. */
export function StepsList({ history: { steps, taken } }: { readonly history: OutlineHistory }) {
  return (
    <details className={css.budget}>
      <summary>{w.steps(taken)}</summary>
      <ol className={css.steps}>
        {steps.map((step, i) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: steps keep their order.
          <li key={i}>{i < taken ? nameOf(step) : <s className="quiet">{nameOf(step)}</s>}</li>
        ))}
      </ol>
    </details>
  );
}

const nameOf = (step: OutlineHistory["steps"][number]): string =>
  w.stepNames[step.do]("inside" in step ? step.inside : true);
