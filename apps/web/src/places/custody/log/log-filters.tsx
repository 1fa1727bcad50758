import { type FormEvent, useState } from "react";
import { Button } from "../../../parts/button.tsx";
import { Choice } from "../../../parts/choice.tsx";
import { Field } from "../../../parts/field.tsx";
import { words } from "../../../words/index.ts";
import css from "../custody.module.css";

const said = words.custody.log;
const ALL = "all";
const isDay = (text: string) => /^\d{4}-\d{2}-\d{2}$/.test(text) && !Number.isNaN(Date.parse(text));

/** By day, what and who. */
export function LogFilters({
  given,
  onFilter,
}: {
  readonly given: URLSearchParams;
  readonly onFilter: (next: URLSearchParams) => void;
}) {
  const [day, setDay] = useState(given.get("day") ?? "");
  const [person, setPerson] = useState(given.get("person") ?? "");
  const act = given.get("act") ?? ALL;
  const dayIsBad = day.trim() !== "" && !isDay(day.trim());
  const filter = (acts: string) =>
    onFilter(
      new URLSearchParams({
        day: dayIsBad ? "" : day.trim(),
        act: acts === ALL ? "" : acts,
        person: person.trim(),
      }),
    );
  const submit = (event: FormEvent) => {
    event.preventDefault();
    filter(act);
  };
  const options = [
    { value: ALL, label: said.everything },
    ...Object.entries(said.acts).map(([value, label]) => ({ value, label })),
  ];
  return (
    <form className={css.filters} onSubmit={submit} onBlur={() => !dayIsBad && filter(act)}>
      <Field
        label={said.day}
        value={day}
        onChange={setDay}
        maxLength={10}
        autoComplete="off"
        placeholder={said.dayHint}
        problem={dayIsBad ? said.dayBad : null}
      />
      <Choice label={said.act} options={options} value={act} onChange={filter} />
      <Field label={said.person} value={person} onChange={setPerson} maxLength={100} autoComplete="off" />
      <div className={css.row}>
        <Button type="submit">{words.custody.find.go}</Button>
        {given.size > 0 && (
          <Button look="bare" onPress={() => onFilter(new URLSearchParams())}>
            {said.clear}
          </Button>
        )}
      </div>
    </form>
  );
}
