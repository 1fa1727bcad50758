import { useState } from "react";
import { Checkbox } from "../../../parts/checkbox.tsx";
import { Choice } from "../../../parts/choice.tsx";
import { Field } from "../../../parts/field.tsx";
import { words } from "../../../words/index.ts";
import css from "../practice.module.css";
import { type AskedAs, meantBy, typedOf } from "./view-fields.ts";
import own from "./view-sets.module.css";

const { views: say } = words.practice;

export interface FieldOfViewProps {
  readonly field: string;
  readonly asked: AskedAs;
  readonly value: unknown;
  /** Where the value comes from, in words; empty: nothing is said. */
  readonly origin: string;
  readonly problem: string | null;
  readonly isDisabled: boolean;
  /** Every caution there is. */
  readonly cautions: readonly string[];
  readonly onChange: (value: unknown) => void;
}

/** One field of a view, with where its value comes from. */
export function FieldOfView(props: FieldOfViewProps) {
  const { field, asked, value, origin, problem, isDisabled, onChange } = props;
  const [label = field, meaning = ""] = say.fields[field] ?? [field];
  const hint = [meaning, origin].filter((part) => part !== "").join(" · ");
  if (asked.as === "cautions") return <Cautions {...props} label={label} hint={hint} />;
  if (asked.as === "choice") {
    return (
      <Choice
        label={label}
        options={asked.of.map((one) => ({ value: one, label: asked.names?.[one] ?? spoken(one) }))}
        value={typedOf(value)}
        onChange={(chosen) => onChange(meantBy(chosen, asked))}
        problem={problem}
        isDisabled={isDisabled}
        {...(hint && { hint })}
      />
    );
  }
  return <Typed {...props} label={label} hint={hint} />;
}

/** What is typed stays as it is typed; what it means goes into the draft. */
function Typed({
  asked,
  value,
  problem,
  isDisabled,
  onChange,
  label,
  hint,
}: FieldOfViewProps & { label: string; hint: string }) {
  const [typed, setTyped] = useState(typedOf(value));
  const isLong = asked.as === "lines" || asked.as === "list";
  return (
    <div className={isLong ? css.wide : undefined}>
      <Field
        label={label}
        value={typed}
        onChange={(next) => {
          setTyped(next);
          onChange(meantBy(next, asked));
        }}
        problem={problem}
        isDisabled={isDisabled}
        maxLength={600}
        {...(hint && { hint })}
        {...(isLong && { lines: asked.as === "list" ? 3 : 2 })}
        {...(asked.as === "number" && { inputMode: "decimal" as const })}
      />
    </div>
  );
}

function Cautions({
  value,
  cautions,
  isDisabled,
  onChange,
  label,
  hint,
}: FieldOfViewProps & { label: string; hint: string }) {
  const chosen = (Array.isArray(value) ? value : []) as readonly string[];
  return (
    <fieldset className={css.wide}>
      <legend className={css.small}>
        {label}
        {hint && ` · ${hint}`}
      </legend>
      <div className={own.cautions}>
        {cautions.map((one) => (
          <Checkbox
            key={one}
            isSelected={chosen.includes(one)}
            isDisabled={isDisabled}
            onChange={(on) => onChange(on ? [...chosen, one] : chosen.filter((other) => other !== one))}
          >
            {spoken(one)}
          </Checkbox>
        ))}
      </div>
    </fieldset>
  );
}

const spoken = (value: string): string => say.values[value] ?? value.replaceAll("-", " ");
