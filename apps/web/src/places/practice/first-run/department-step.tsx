import type { FirstRunState, NumberTried, PracticeChanged } from "@samescale/server";
import { useEffect, useState } from "react";
import { ask, reportFrom } from "../../../api/client.ts";
import { useAct } from "../../../api/use-answer.ts";
import { Button } from "../../../parts/button.tsx";
import { Choice, Choices } from "../../../parts/choice.tsx";
import { Field } from "../../../parts/field.tsx";
import { Problem } from "../../../parts/problem.tsx";
import { words } from "../../../words/index.ts";
import css from "../practice.module.css";

const { firstRun } = words.practice;
const say = firstRun.department;
type Rule = keyof typeof say.rules;

const PATTERNS: Readonly<Record<Rule, { readonly pattern: string; readonly check: string } | null>> = {
  none: null,
  mod11: { pattern: "999 999 9999", check: "mod11" },
  plain: { pattern: "99999999", check: "none" },
  own: { pattern: "'HN'99999", check: "none" },
};

/** Step 1: what the department is called, and how a patient's number looks here. */
export function DepartmentStep({
  state,
  next,
}: {
  readonly state: FirstRunState;
  readonly next: () => void;
}) {
  const [known] = state.patientNumberFormats;
  const [name, setName] = useState(state.department);
  const [majority, setMajority] = useState(String(state.ageOfMajority));
  const [rule, setRule] = useState<Rule>(known ? "own" : "none");
  const [pattern, setPattern] = useState(known?.pattern ?? "");
  const [check, setCheck] = useState(known?.check ?? "none");
  const [example, setExample] = useState("");
  const tried = useTried(rule === "none" ? null : { pattern, check, example });
  const save = useAct<void, PracticeChanged>(
    () =>
      ask("POST", "/first-run/department", {
        department: name.trim(),
        ageOfMajority: Number(majority.replace(",", ".")) || 0,
        number: rule === "none" ? null : { name: "Patient's number", pattern, check },
      }),
    { say: () => say.saved },
  );
  return (
    <form
      className={css.section}
      onSubmit={(event) => {
        event.preventDefault();
        save.mutate(undefined, { onSuccess: next });
      }}
    >
      <h2>{firstRun.names[0]}</h2>
      <p className={css.text}>{say.says}</p>
      <div className={css.form}>
        <Field
          label={say.name}
          value={name}
          onChange={setName}
          hint={say.nameHint}
          maxLength={120}
          autoFocus
        />
        <Field
          label={say.majority}
          value={majority}
          onChange={setMajority}
          inputMode="numeric"
          maxLength={3}
        />
      </div>
      <h3>{say.number}</h3>
      <p className={css.text}>{say.numberSays}</p>
      <Choices
        label={say.number}
        options={Object.entries(say.rules).map(([value, label]) => ({ value: value as Rule, label }))}
        value={rule}
        onChange={(chosen) => {
          setRule(chosen);
          const preset = PATTERNS[chosen];
          if (!preset) return;
          setPattern(preset.pattern);
          setCheck(preset.check);
        }}
      />
      {rule !== "none" && (
        <>
          <div className={css.form}>
            <Field
              label={say.pattern}
              value={pattern}
              onChange={setPattern}
              hint={say.patternHint}
              maxLength={60}
              problem={tried?.fault ?? null}
            />
            <Choice
              label={say.check}
              options={state.checks.map((value) => ({ value, label: say.checks[value] ?? value }))}
              value={check}
              onChange={setCheck}
            />
            <Field
              label={say.example}
              value={example}
              onChange={setExample}
              hint={say.exampleHint}
              maxLength={60}
            />
          </div>
          <p
            role="status"
            className={tried?.check === "wrong" || tried?.fits === false ? css.warn : css.strong}
          >
            {tried && tried.fault === null && example !== "" && triedWords(tried)}
          </p>
        </>
      )}
      <p className={css.small}>{say.times}</p>
      {save.error != null && <Problem report={reportFrom(save.error)} />}
      <p className={css.row}>
        <Button
          type="submit"
          look="chief"
          isDisabled={name.trim() === "" || save.isPending || tried?.fault != null}
        >
          {firstRun.next}
        </Button>
        <Button onPress={next}>{firstRun.later}</Button>
      </p>
    </form>
  );
}

const triedWords = ({ fits, check }: NumberTried): string =>
  !fits
    ? `○ ${say.fitsNot}`
    : check === "wrong"
      ? `○ ${say.wrong}`
      : check === "right"
        ? `● ${say.right}`
        : `● ${say.fits}`;

const WAIT_MS = 250;

/** What the department's own rules say of a pattern and an example. */
function useTried(wanted: { pattern: string; check: string; example: string } | null): NumberTried | null {
  const asked = wanted === null ? null : JSON.stringify(wanted);
  const [answer, setAnswer] = useState<NumberTried | null>(null);
  useEffect(() => {
    if (asked === null) return setAnswer(null);
    const timer = setTimeout(async () => {
      setAnswer(await ask<NumberTried>("POST", "/first-run/number", JSON.parse(asked)).catch(() => null));
    }, WAIT_MS);
    return () => clearTimeout(timer);
  }, [asked]);
  return answer;
}
