import { Label, Radio, RadioGroup } from "react-aria-components";
import { Link } from "../../../parts/link.tsx";
import { words } from "../../../words/index.ts";
import css from "../release.module.css";
import type { StepProps } from "./uses.tsx";

const { choose: say } = words.release;

/** In which form: those that this use can have. */
export function Forms({ of, choice, change }: StepProps) {
  const forms = choice.use?.forms ?? [];
  return (
    <>
      <RadioGroup className={css.forms ?? ""} value={choice.form} onChange={(form) => change({ form })}>
        <Label className="only-heard">{say.form}</Label>
        {forms.map((form) => {
          const [name, hint] = say.forms[form] ?? [form, ""];
          return (
            <Radio key={form} value={form} className={css.form ?? ""}>
              <span className={css.useDot} aria-hidden="true" />
              <span>
                <span>{name}</span>
                <span className="quiet">{hint}</span>
              </span>
            </Radio>
          );
        })}
      </RadioGroup>
      {(choice.use?.scope === "requester" || choice.use?.scope === "health-record") && (
        <p className="quiet">
          {say.report} <Link to={`/series/${encodeURIComponent(of.code)}`}>{say.toSeries}</Link>
        </p>
      )}
    </>
  );
}
