import type { PlaceForFrames } from "@samescale/server";
import { type FormEvent, useState } from "react";
import { Button } from "../../../parts/button.tsx";
import { Choice } from "../../../parts/choice.tsx";
import { Dialog } from "../../../parts/dialog.tsx";
import { Field } from "../../../parts/field.tsx";
import { words } from "../../../words/index.ts";
import css from "../card.module.css";

const said = words.card.waiting.because;
const OF_DAY = "of-day";

/** How it is known whose the frames are: one touch for what it mostly is, or a person's own words. */
export function Because({
  count,
  to,
  onPlace,
  onClose,
}: {
  readonly count: number;
  readonly to: PlaceForFrames;
  readonly onPlace: (because: string, visitId: string | null) => void;
  readonly onClose: () => void;
}) {
  const [own, setOwn] = useState("");
  const [visit, setVisit] = useState(OF_DAY);
  const place = (because: string) => onPlace(because, visit === OF_DAY ? null : visit);
  const submit = (event: FormEvent) => {
    event.preventDefault();
    if (own.trim() !== "") place(own.trim());
  };
  const visits = [
    { value: OF_DAY, label: said.visitOfDay },
    ...to.visits.map(({ id, date }) => ({ value: id, label: date ?? id })),
  ];
  return (
    <Dialog title={said.title(count, to.code)} isOpen onClose={onClose}>
      <p>
        {to.patient ? `${to.patient.name}, ${to.patient.number}` : words.card.waiting.noPatient} · {to.title}
      </p>
      <div>
        <h3>{said.ask}</h3>
        <div className={css.quick}>
          {said.quick.map((because) => (
            <Button key={because} look="chief" onPress={() => place(because)}>
              {because}
            </Button>
          ))}
        </div>
      </div>
      <form className={css.typed} onSubmit={submit}>
        <Field label={said.own} value={own} onChange={setOwn} maxLength={500} autoComplete="off" />
        <Button type="submit" isDisabled={own.trim() === ""}>
          {said.place}
        </Button>
      </form>
      {to.visits.length > 1 && (
        <Choice label={said.visit} options={visits} value={visit} onChange={setVisit} />
      )}
      <p className="quiet">{said.stays}</p>
    </Dialog>
  );
}
