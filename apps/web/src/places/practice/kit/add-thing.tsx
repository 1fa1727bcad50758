import type { PracticeChanged } from "@samescale/server";
import { useState } from "react";
import { ask, reportFrom } from "../../../api/client.ts";
import { Button } from "../../../parts/button.tsx";
import { Choice } from "../../../parts/choice.tsx";
import { Dialog } from "../../../parts/dialog.tsx";
import { Field } from "../../../parts/field.tsx";
import { Problem } from "../../../parts/problem.tsx";
import { words } from "../../../words/index.ts";
import css from "../practice.module.css";
import { usePracticeChange } from "../use-practice-change.ts";
import { fieldsFrom, fieldsOfGroup } from "./thing-fields.ts";
import { ThingForm } from "./thing-form.tsx";

const { kit: say, cancel } = words.practice;
type Group = keyof typeof say.groups;

/** One more thing of the register, by its numbers. */
export function AddThing({
  places,
  onClose,
}: {
  readonly places: readonly string[];
  readonly onClose: () => void;
}) {
  const [group, setGroup] = useState<Group>("bodies");
  const [name, setName] = useState("");
  const [where, setWhere] = useState(places[0] ?? "studio");
  const [typed, setTyped] = useState<Readonly<Record<string, string>>>({});
  const asked = fieldsOfGroup[group];
  const add = usePracticeChange(
    () =>
      ask<PracticeChanged>("POST", "/practice/kit", {
        group,
        name,
        fields: { where, ...fieldsFrom(asked, typed) },
      }),
    () => say.added(name),
  );
  return (
    <Dialog title={say.addTitle} isOpen onClose={onClose}>
      <form
        className={css.section}
        onSubmit={(event) => {
          event.preventDefault();
          add.mutate(undefined, { onSuccess: onClose });
        }}
      >
        <div className={css.form}>
          <Choice
            label={say.group}
            options={Object.entries(say.groups).map(([value, label]) => ({ value: value as Group, label }))}
            value={group}
            onChange={(next) => {
              setGroup(next);
              setTyped({});
            }}
          />
          <Field
            label={say.name}
            value={name}
            onChange={setName}
            hint={say.nameHint}
            maxLength={80}
            isRequired
          />
          <ThingForm asked={asked} typed={typed} onChange={setTyped} />
          <Field label={say.place} value={where} onChange={setWhere} hint={say.placeHint} maxLength={60} />
        </div>
        {add.error != null && <Problem report={reportFrom(add.error)} />}
        <p className={css.row}>
          <Button type="submit" look="chief" isDisabled={add.isPending || name.trim() === ""}>
            {say.add}
          </Button>
          <Button onPress={onClose}>{cancel}</Button>
        </p>
      </form>
    </Dialog>
  );
}
