import type { FirstRunState, PracticeChanged } from "@samescale/server";
import { useState } from "react";
import { ask, reportFrom } from "../../../api/client.ts";
import { useAct } from "../../../api/use-answer.ts";
import { Button } from "../../../parts/button.tsx";
import { Checkbox } from "../../../parts/checkbox.tsx";
import { Field } from "../../../parts/field.tsx";
import { Problem } from "../../../parts/problem.tsx";
import { words } from "../../../words/index.ts";
import { fieldsFrom, fieldsOfGroup } from "../kit/thing-fields.ts";
import { ThingForm } from "../kit/thing-form.tsx";
import css from "../practice.module.css";
import own from "./first-run.module.css";

const { firstRun, kit: kitWords } = words.practice;
const say = firstRun.kit;
type Group = keyof typeof say.names;

interface Entered {
  readonly id: number;
  readonly group: Group;
  readonly name: string;
  readonly typed: Readonly<Record<string, string>>;
}

const entered = (id: number, group: Group): Entered => ({ id, group, name: say.names[group], typed: {} });
const BEGIN: readonly Entered[] = [entered(1, "bodies"), entered(2, "lenses")];
const titles: Readonly<Record<Group, string>> = {
  bodies: say.body,
  lenses: say.lens,
  flashes: say.flash,
  scales: say.scale,
};
const adds: readonly (readonly [Group, string])[] = [
  ["bodies", say.addBody],
  ["lenses", say.addLens],
  ["flashes", say.addFlash],
  ["scales", say.addScale],
];

/** Step 2: bodies, lenses, lights and scales by their numbers. */
export function KitStep({ state, next }: { readonly state: FirstRunState; readonly next: () => void }) {
  const [things, setThings] = useState(BEGIN);
  const [keep, setKeep] = useState<readonly string[]>([]);
  const save = useAct<void, PracticeChanged>(
    () =>
      ask("POST", "/first-run/kit", {
        things: things.map(({ group, name, typed }) => ({
          group,
          name,
          fields: fieldsFrom(fieldsOfGroup[group], typed),
        })),
        keep,
      }),
    { say: () => say.saved },
  );
  const change = (id: number, what: Partial<Entered>) =>
    setThings(things.map((one) => (one.id === id ? { ...one, ...what } : one)));
  return (
    <form
      className={css.section}
      onSubmit={(event) => {
        event.preventDefault();
        save.mutate(undefined, { onSuccess: next });
      }}
    >
      <h2>{firstRun.names[1]}</h2>
      <p className={css.text}>{say.says}</p>
      {state.kit.length > 0 && <p className="quiet">{firstRun.now(state.kit)}</p>}
      {things.map(({ id, group, name, typed }) => (
        <fieldset key={id} className={own.thing}>
          <legend>
            <h3>{titles[group]}</h3>
          </legend>
          <div className={css.form}>
            <Field
              label={kitWords.name}
              value={name}
              onChange={(to) => change(id, { name: to })}
              maxLength={80}
            />
            <ThingForm
              asked={fieldsOfGroup[group]}
              typed={typed}
              onChange={(to) => change(id, { typed: to })}
            />
          </div>
          <p>
            <Button
              aria-label={say.takeOut(name)}
              onPress={() => setThings(things.filter((one) => one.id !== id))}
            >
              {say.takeOutShort}
            </Button>
          </p>
        </fieldset>
      ))}
      <p className={css.row}>
        {adds.map(([group, label]) => (
          <Button
            key={group}
            onPress={() =>
              setThings([...things, entered(1 + Math.max(0, ...things.map(({ id }) => id)), group)])
            }
          >
            {label}
          </Button>
        ))}
      </p>
      <p className={css.small}>{say.front}</p>
      <h3>{say.keep}</h3>
      <p className={css.text}>{say.keepSays}</p>
      <div className={own.keep}>
        {state.groups.map(({ group, names }) => (
          <Checkbox
            key={group}
            isSelected={keep.includes(group)}
            onChange={(on) => setKeep(on ? [...keep, group] : keep.filter((one) => one !== group))}
          >
            {kitWords.groups[group]}
            <br />
            <span className={css.small}>{names.join(", ")}</span>
          </Checkbox>
        ))}
      </div>
      {save.error != null && <Problem report={reportFrom(save.error)} />}
      <p className={css.row}>
        <Button type="submit" look="chief" isDisabled={things.length === 0 || save.isPending}>
          {firstRun.next}
        </Button>
        <Button onPress={next}>{firstRun.later}</Button>
      </p>
    </form>
  );
}
