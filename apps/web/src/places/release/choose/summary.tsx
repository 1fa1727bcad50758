import type { Refusal, ReleaseChoices } from "@samescale/server";
import { words } from "../../../words/index.ts";
import css from "../release.module.css";
import type { Choice, Draft } from "./use-choice.ts";

const { choose: say } = words.release;

/** What is chosen so far, beside the steps. */
export function Summary({
  of,
  choice,
  draft,
  refusals,
}: {
  readonly of: ReleaseChoices;
  readonly choice: Choice;
  readonly draft: Draft;
  readonly refusals: readonly Refusal[] | undefined;
}) {
  const { use, form, frames, publication } = choice;
  const line = (name: string, value: string | null) => (
    <div>
      <dt>{name}</dt>
      <dd className={value ? undefined : "quiet"}>{value || say.notYet}</dd>
    </div>
  );
  return (
    <section className={css.summary} aria-labelledby="summary">
      <h2 id="summary">{say.summary}</h2>
      <p>{of.title}</p>
      {of.patient && (
        <p className="quiet">
          {of.patient.name} · {of.patient.number}
        </p>
      )}
      {of.sensitive.length > 0 && <p>{say.sensitive(of.sensitive.join(", "))}</p>}
      <dl className={css.facts}>
        {line(
          say.sumFor,
          use && (use.namesPublication && publication ? `${use.words}: ${publication}` : use.words),
        )}
        {line(say.sumTo, draft.to.trim())}
        {line(say.sumForm, form && (say.forms[form]?.[0] ?? form))}
        {line(say.sumPictures, `${frames.length}`)}
        {line(say.sumUntil, draft.expiresOn.trim() || say.withdrawalOnly)}
      </dl>
      {use && refusals && refusals.length > 0 && (
        <p>
          <a href="#step-6">{say.things(new Set(refusals.map(({ why }) => why)).size)}</a>
        </p>
      )}
    </section>
  );
}
