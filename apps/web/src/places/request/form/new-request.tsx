import type { RequestForm } from "@samescale/server";
import { useMutation } from "@tanstack/react-query";
import { type FormEvent, useState } from "react";
import { useLocation } from "wouter";
import { ask, reportFrom } from "../../../api/client.ts";
import { useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { Button } from "../../../parts/button.tsx";
import { Checkbox } from "../../../parts/checkbox.tsx";
import { Choices } from "../../../parts/choice.tsx";
import { Problem } from "../../../parts/problem.tsx";
import { notify } from "../../../shell/notices.ts";
import { PlaceFrame } from "../../../shell/place-frame.tsx";
import { useMe } from "../../../shell/session.tsx";
import { words } from "../../../words/index.ts";
import { AskedFields, toggled } from "./asked-fields.tsx";
import { askedIn, EMPTY } from "./draft.ts";
import css from "./form.module.css";
import { type PatientDraft, PatientFields, patientSent } from "./patient-fields.tsx";

const say = words.request.form;

/** A request taken by hand, or asked for by a clinician. */
export function NewRequest() {
  const { role } = useMe();
  const form = useAnswer<RequestForm>("/requests/form");
  return (
    <PlaceFrame title={role === "requester" ? say.askTitle : say.title}>
      <Answered of={form}>{(given) => <Filling form={given} isAsker={role === "requester"} />}</Answered>
    </PlaceFrame>
  );
}

function Filling({ form, isAsker }: { readonly form: RequestForm; readonly isAsker: boolean }) {
  const { name } = useMe();
  const [, go] = useLocation();
  const [isClinical, setClinical] = useState(true);
  const [draft, setDraft] = useState({ ...EMPTY, requester: isAsker ? name : "" });
  const [sensitive, setSensitive] = useState<RequestForm["sensitive"]>([]);
  const [patient, setPatient] = useState<PatientDraft>({
    number: "",
    authority: form.authorities.length === 1 ? form.authorities[0]! : "",
    name: "",
    birthDate: "",
  });
  // What is refused is said above the button that sends: a notice would lie over it on a phone.
  const save = useMutation({
    mutationFn: () => {
      const { dueDate, priority, details } = askedIn(draft);
      const said = Object.fromEntries(Object.entries(details).filter(([, value]) => value !== null));
      return ask<{ code: string }>("POST", "/requests", {
        patient: isClinical ? patientSent(patient) : null,
        dueDate,
        priority,
        sensitive,
        details: said,
      });
    },
    onSuccess: ({ code }) => {
      notify({ say: say.saved(code) });
      go(`/requests/${code}${isAsker ? "" : "?show=plan"}`);
    },
  });
  const submit = (event: FormEvent) => {
    event.preventDefault();
    save.mutate();
  };
  return (
    <form className={css.form} onSubmit={submit} autoComplete="off">
      <section className={css.section}>
        <h2>{say.who}</h2>
        <Choices
          label={say.kind}
          options={(["clinical", "non-clinical"] as const).map((value) => ({
            value,
            label: say.kinds[value],
          }))}
          value={isClinical ? "clinical" : "non-clinical"}
          onChange={(kind) => setClinical(kind === "clinical")}
        />
        {isClinical && <PatientFields patient={patient} onChange={setPatient} form={form} />}
        {isClinical && (
          <fieldset className={css.ticks}>
            <legend>{say.sensitive}</legend>
            {form.sensitive.map((one) => (
              <Checkbox
                key={one}
                isSelected={sensitive.includes(one)}
                onChange={(on) => setSensitive(toggled(sensitive, one, on))}
              >
                {say.sensitives[one]}
              </Checkbox>
            ))}
            <p className="quiet">{say.sensitiveHelp}</p>
          </fieldset>
        )}
      </section>
      <AskedFields draft={draft} onChange={setDraft} form={form} isClinical={isClinical} />
      {save.error !== null && <Problem report={reportFrom(save.error)} />}
      <p className={css.send}>
        <Button type="submit" look="chief" isDisabled={save.isPending}>
          {isAsker ? say.send : say.save}
        </Button>
      </p>
    </form>
  );
}
