import { Choice } from "../../../parts/choice.tsx";
import { Field } from "../../../parts/field.tsx";
import { words } from "../../../words/index.ts";
import type { AskedOfThing } from "./thing-fields.ts";

const { kit: say } = words.practice;

/** The numbers of one thing, asked for one by one. */
export function ThingForm(props: {
  readonly asked: readonly AskedOfThing[];
  readonly typed: Readonly<Record<string, string>>;
  readonly onChange: (typed: Readonly<Record<string, string>>) => void;
}) {
  const { asked, typed, onChange } = props;
  return asked.map(({ field, as }) => {
    const [label = field, hint = ""] = say.asks[field] ?? [];
    const value = typed[field] ?? "";
    const set = (next: string) => onChange({ ...typed, [field]: next });
    if (typeof as === "string" && as !== "yes-no") {
      return (
        <Field
          key={field}
          label={label}
          value={value}
          onChange={set}
          maxLength={60}
          {...(hint && { hint })}
          {...(as === "number" && { inputMode: "decimal" as const })}
        />
      );
    }
    const options = as === "yes-no" ? ["yes", "no"] : (as as readonly string[]);
    return (
      <Choice
        key={field}
        label={label}
        options={options.map((one) => ({ value: one, label: one.replaceAll("-", " ") }))}
        value={value === "" ? null : value}
        onChange={set}
        {...(hint && { hint })}
      />
    );
  });
}
