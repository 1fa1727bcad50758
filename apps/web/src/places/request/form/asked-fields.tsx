import type { RequestForm } from "@samescale/server";
import { Checkbox } from "../../../parts/checkbox.tsx";
import { Choice, Choices } from "../../../parts/choice.tsx";
import { Field } from "../../../parts/field.tsx";
import { words } from "../../../words/index.ts";
import type { Draft } from "./draft.ts";
import css from "./form.module.css";
import { PartsField } from "./parts-field.tsx";

const say = words.request.form;

export interface AskedFieldsProps {
  readonly draft: Draft;
  readonly onChange: (draft: Draft) => void;
  readonly form: RequestForm;
  readonly isClinical: boolean;
}

/** Everything that is asked for beside the patient, in the order in which it is said. */
export function AskedFields({ draft, onChange, form, isClinical }: AskedFieldsProps) {
  const set = (some: Partial<Draft>) => onChange({ ...draft, ...some });
  const text = (field: TextField) => ({
    value: draft[field],
    onChange: (value: string) => set({ [field]: value }),
  });
  return (
    <>
      {isClinical && (
        <section className={css.section}>
          <h2>{say.where}</h2>
          <PartsField parts={draft.parts} onChange={(parts) => set({ parts })} />
        </section>
      )}
      <section className={css.section}>
        <h2>{say.what}</h2>
        {!isClinical && (
          <div className={css.two}>
            <Field label={say.titleField} {...text("title")} />
            <Unsaid
              label={say.occasion}
              named={say.occasions}
              value={draft.occasion}
              onChange={(occasion) => set({ occasion })}
            />
          </div>
        )}
        <Field label={say.purpose} hint={say.purposeHint} lines={2} {...text("purpose")} />
      </section>
      <section className={css.section}>
        <h2>{say.when}</h2>
        <Choices
          label={say.priority}
          options={[
            { value: "none", label: words.request.noPriority },
            ...form.priorities.map((value) => ({ value, label: words.request.priorities[value] })),
          ]}
          value={draft.priority === "" ? "none" : draft.priority}
          onChange={(value) => set({ priority: value === "none" ? "" : (value as Draft["priority"]) })}
        />
        <div className={css.two}>
          <Field label={say.due} hint={say.dayHint} {...text("dueDate")} />
          <Field label={say.booked} hint={say.bookedHint} lines={2} {...text("bookedAt")} />
          <Field label={say.place} {...text("place")} />
          <Field label={say.site} {...text("site")} />
          {isClinical && (
            <>
              <Field label={say.dressings} hint={say.timeHint} {...text("dressingsDownAt")} />
              <Unsaid
                label={say.patientIs}
                named={say.patientIsWays}
                value={draft.patientIs}
                onChange={(patientIs) => set({ patientIs })}
              />
              <Field label={say.operation} {...text("operation")} />
              <Field label={say.operationAt} hint={say.timeHint} {...text("operationAt")} />
            </>
          )}
        </div>
      </section>
      <section className={css.section}>
        <h2>{say.asked}</h2>
        <div className={css.two}>
          <Field label={say.requester} {...text("requester")} />
          <Field label={say.role} {...text("role")} />
          <Field label={say.contact} {...text("contact")} />
        </div>
      </section>
      {isClinical && (
        <section className={css.section}>
          <h2>{say.mind}</h2>
          {form.cautions.map(({ kind, words: called }) => (
            <Caution
              key={kind}
              kind={kind}
              called={called}
              cautions={draft.cautions}
              onChange={(cautions) => set({ cautions })}
            />
          ))}
          <div className={css.two}>
            <Unsaid
              label={say.chaperone}
              named={say.chaperones}
              value={draft.chaperone}
              onChange={(chaperone) => set({ chaperone })}
            />
            <Field label={say.interpreter} {...text("interpreter")} />
          </div>
          <fieldset className={css.ticks}>
            <legend>{say.consentReached}</legend>
            {form.scopes.map(({ scope, words: called }) => (
              <Checkbox
                key={scope}
                isSelected={draft.consentReached.includes(scope)}
                onChange={(on) => set({ consentReached: toggled(draft.consentReached, scope, on) })}
              >
                {called}
              </Checkbox>
            ))}
            <p className="quiet">{say.consentHelp}</p>
          </fieldset>
        </section>
      )}
    </>
  );
}

/** Fields that are one text each. */
type TextField = {
  [Name in keyof Draft]: Draft[Name] extends string ? (string extends Draft[Name] ? Name : never) : never;
}[keyof Draft];

export const toggled = <T,>(list: readonly T[], one: T, on: boolean): readonly T[] =>
  on ? [...list, one] : list.filter((other) => other !== one);

/** A choice that may be left unsaid. */
function Unsaid<Value extends string>({
  label,
  named,
  value,
  onChange,
}: {
  readonly label: string;
  readonly named: Readonly<Record<Value, string>>;
  readonly value: Value | "";
  readonly onChange: (value: Value | "") => void;
}) {
  return (
    <Choice
      label={label}
      options={[
        { value: "unsaid", label: say.unsaid },
        ...(Object.keys(named) as Value[]).map((key) => ({ value: key, label: named[key] })),
      ]}
      value={value === "" ? "unsaid" : value}
      onChange={(next) => onChange(next === "unsaid" ? "" : (next as Value))}
    />
  );
}

type Cautions = Draft["cautions"];

function Caution({
  kind,
  called,
  cautions,
  onChange,
}: {
  readonly kind: Cautions[number]["kind"];
  readonly called: string;
  readonly cautions: Cautions;
  readonly onChange: (cautions: Cautions) => void;
}) {
  const said = cautions.find((one) => one.kind === kind);
  return (
    <div className={css.caution}>
      <Checkbox
        isSelected={said !== undefined}
        onChange={(on) =>
          onChange(on ? [...cautions, { kind }] : cautions.filter((one) => one.kind !== kind))
        }
      >
        {called}
      </Checkbox>
      {said && (
        <Field
          label={say.cautionNote}
          value={said.note ?? ""}
          onChange={(note) => onChange(cautions.map((one) => (one === said ? { kind, note } : one)))}
        />
      )}
    </div>
  );
}
