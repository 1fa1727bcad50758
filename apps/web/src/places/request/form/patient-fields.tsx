import type { PatientStandingAnswer, RequestForm } from "@samescale/server";
import { useQuery } from "@tanstack/react-query";
import { useDeferredValue, useState } from "react";
import { ask } from "../../../api/client.ts";
import { Choice } from "../../../parts/choice.tsx";
import { Field } from "../../../parts/field.tsx";
import { words } from "../../../words/index.ts";
import css from "./form.module.css";

const say = words.request.form;

/** As it is typed. */
export interface PatientDraft {
  readonly number: string;
  readonly authority: string;
  readonly name: string;
  readonly birthDate: string;
}

export const patientSent = ({ number, authority, name, birthDate }: PatientDraft) => ({
  number: number.trim(),
  authority: authority.trim(),
  name: name.trim() || null,
  birthDate: birthDate.trim() || null,
});

/** Whom it is about: number, who gave it, and a second identifier. What is known is said, never guessed. */
export function PatientFields({
  patient,
  onChange,
  form,
}: {
  readonly patient: PatientDraft;
  readonly onChange: (patient: PatientDraft) => void;
  readonly form: RequestForm;
}) {
  const set = (some: Partial<PatientDraft>) => onChange({ ...patient, ...some });
  const standing = useStanding(patient);
  return (
    <div className={css.two}>
      <Field
        label={say.number}
        hint={
          form.numberFormats.length > 0
            ? say.numberHint(form.numberFormats.map(({ pattern }) => pattern.replaceAll("'", "")).join(", "))
            : undefined
        }
        value={patient.number}
        onChange={(number) => set({ number })}
        autoComplete="off"
        problem={numberProblem(standing)}
      />
      <Authority
        known={form.authorities}
        value={patient.authority}
        onChange={(authority) => set({ authority })}
      />
      <Field
        label={say.birthDate}
        hint={say.birthHint}
        value={patient.birthDate}
        onChange={(birthDate) => set({ birthDate })}
        autoComplete="off"
        problem={standing?.state === "differs" ? standing.why : null}
      />
      <Field
        label={say.name}
        hint={say.nameHint}
        value={patient.name}
        onChange={(name) => set({ name })}
        autoComplete="off"
      />
      <p className={css.standing} role="status">
        {standing && standingSaid(standing)}
      </p>
    </div>
  );
}

/** Asked once the number, its giver and a whole date (or none) are typed. */
function useStanding(patient: PatientDraft): PatientStandingAnswer | undefined {
  const said = useDeferredValue(patientSent(patient));
  const isWhole =
    said.number.length >= 3 &&
    said.authority !== "" &&
    (said.birthDate === null || /^\d{4}-\d{2}-\d{2}$/.test(said.birthDate));
  const { data } = useQuery({
    queryKey: ["patient standing", said],
    queryFn: ({ signal }) => ask<PatientStandingAnswer>("POST", "/requests/patient", said, signal),
    enabled: isWhole,
    gcTime: 0,
  });
  return isWhole ? data : undefined;
}

function numberProblem(standing: PatientStandingAnswer | undefined): string | null {
  if (!standing?.hasFormats) return null;
  if (standing.fits === null) return say.fitsNot;
  return standing.fits.check === "wrong" ? say.wrongCheck(standing.fits.format) : null;
}

function standingSaid(standing: PatientStandingAnswer): string | null {
  switch (standing.state) {
    case "agrees":
      return say.standing.agrees(standing.name ?? "", standing.birthDate);
    case "differs":
      return null;
    default:
      return say.standing[standing.state];
  }
}

function Authority({
  known,
  value,
  onChange,
}: {
  readonly known: readonly string[];
  readonly value: string;
  readonly onChange: (authority: string) => void;
}) {
  const [isOther, setOther] = useState(known.length === 0);
  if (isOther) return <Field label={say.authority} value={value} onChange={onChange} />;
  return (
    <Choice
      label={say.authority}
      options={[
        ...known.map((name) => ({ value: name, label: name })),
        { value: "", label: say.otherAuthority },
      ]}
      value={known.includes(value) ? value : null}
      onChange={(next) => {
        if (next === "") setOther(true);
        onChange(next);
      }}
    />
  );
}
