import type { ConsentOfRequest } from "@samescale/server";
import { Choice, Choices } from "../../../parts/choice.tsx";
import { Field } from "../../../parts/field.tsx";
import { words } from "../../../words/index.ts";
import css from "./consent.module.css";
import type { Capacity, GiverDraft } from "./giver-draft.ts";

const say = words.consent;
const CAPACITIES: readonly Capacity[] = [
  "patient",
  "parental-responsibility",
  "best-interest",
  "legal-basis",
];

/** Who answers, in what capacity, and what has to be written down besides. */
export function GiverFields({
  giver,
  onChange,
  consent: { patient, portrayed },
}: {
  readonly giver: GiverDraft;
  readonly onChange: (giver: GiverDraft) => void;
  readonly consent: ConsentOfRequest;
}) {
  const set = (some: Partial<GiverDraft>) => onChange({ ...giver, ...some });
  const text = (field: "name" | "relation" | "policy" | "askAgainOn" | "basis" | "assessedBy" | "found") => ({
    value: giver[field],
    onChange: (value: string) => set({ [field]: value }),
  });
  const { capacity } = giver;
  const isAssessed = capacity === "best-interest" || (capacity === "patient" && patient?.isChild === true);
  return (
    <section className={css.giver} aria-labelledby="who-answers">
      <h2 id="who-answers">{say.whoAnswers}</h2>
      {patient?.isChild && patient.comesOfAgeOn !== null && <p>{say.childNote(patient.comesOfAgeOn)}</p>}
      {patient !== null && patient.birthDate === null && <p>{say.noBirthDate}</p>}
      <Choices
        label={say.capacity}
        options={CAPACITIES.filter(
          (one) => patient !== null || one === "patient" || one === "parental-responsibility",
        ).map((value) => ({
          value,
          label: value === "patient" && patient === null ? say.portrayedCapacity : say.capacities[value],
        }))}
        value={capacity}
        onChange={(next) => set({ capacity: next })}
      />
      <div className={css.two}>
        {patient === null && (
          <Choice
            label={say.person}
            options={portrayed.map(({ name }) => ({ value: name, label: name }))}
            value={giver.person === "" ? null : giver.person}
            onChange={(person) => set({ person })}
          />
        )}
        {capacity !== "patient" && <Field label={say.name} {...text("name")} />}
        {capacity === "parental-responsibility" && (
          <>
            <Field label={say.relation} hint={say.relationHint} {...text("relation")} />
            <Choices
              label={say.child}
              options={(["agrees", "disagrees", "cannot-say"] as const).map((value) => ({
                value,
                label: say.childs[value],
              }))}
              value={giver.child}
              onChange={(child) => set({ child })}
            />
          </>
        )}
        {capacity === "best-interest" && (
          <>
            <Field label={say.policy} {...text("policy")} />
            <Field label={say.askAgainOn} hint={say.dayHint} {...text("askAgainOn")} />
          </>
        )}
        {capacity === "legal-basis" && <Field label={say.basis} {...text("basis")} />}
        {isAssessed && (
          <>
            <Field label={say.assessedBy} {...text("assessedBy")} />
            <Field label={say.found} {...text("found")} />
          </>
        )}
        <Choices
          label={say.how}
          options={(["spoken", "written"] as const).map((value) => ({ value, label: say.hows[value] }))}
          value={giver.how}
          onChange={(how) => set({ how })}
        />
      </div>
    </section>
  );
}
