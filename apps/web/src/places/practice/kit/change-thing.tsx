import type { KitThing, PracticeChanged } from "@samescale/server";
import { useState } from "react";
import { ask } from "../../../api/client.ts";
import { Button } from "../../../parts/button.tsx";
import { Choices } from "../../../parts/choice.tsx";
import { Dialog } from "../../../parts/dialog.tsx";
import { Field } from "../../../parts/field.tsx";
import { words } from "../../../words/index.ts";
import css from "../practice.module.css";
import { usePracticeChange } from "../use-practice-change.ts";

const { kit: say, cancel, save } = words.practice;

type Said = "yes" | "no" | "not-said";
const saidOf = (value: boolean | null): Said => (value === null ? "not-said" : value ? "yes" : "no");
const flagOf = (said: Said): boolean | null => (said === "not-said" ? null : said === "yes");
const options = [
  { value: "yes", label: say.yes },
  { value: "no", label: say.no },
  { value: "not-said", label: say.notSaid },
] as const;

/** Everything that changes of a thing from day to day. */
export function ChangeThing(props: {
  readonly thing: KitThing;
  readonly places: readonly string[];
  readonly onClose: () => void;
}) {
  const { thing, places, onClose } = props;
  const [name, setName] = useState(thing.name);
  const [where, setWhere] = useState(thing.where);
  const [count, setCount] = useState(String(thing.count));
  const [charged, setCharged] = useState<Said>(saidOf(thing.charged));
  const [clean, setClean] = useState<Said>(saidOf(thing.clean));
  const [dueOn, setDueOn] = useState(thing.dueOn ?? "");
  const [broken, setBroken] = useState(thing.broken ?? "");
  const [away, setAway] = useState(thing.away ?? "");
  const path = `/practice/kit/${encodeURIComponent(thing.id)}`;
  const change = usePracticeChange(
    (wanted: object) => ask<PracticeChanged>("PATCH", path, wanted),
    () => say.changed(name),
  );
  const remove = usePracticeChange(
    () => ask<PracticeChanged>("DELETE", path),
    () => say.removed(thing.name),
  );
  const wanted = Object.fromEntries(
    Object.entries({
      ...{ name: name === thing.name ? undefined : name, where: where === thing.where ? undefined : where },
      count: Number(count) === thing.count ? undefined : Number(count.replace(",", ".")),
      charged: flagOf(charged) === thing.charged ? undefined : flagOf(charged),
      clean: flagOf(clean) === thing.clean ? undefined : flagOf(clean),
      dueOn: dueOn === (thing.dueOn ?? "") ? undefined : dueOn.trim() || null,
      broken: broken === (thing.broken ?? "") ? undefined : broken.trim() || null,
      away: away === (thing.away ?? "") ? undefined : away.trim() || null,
    }).filter(([, value]) => value !== undefined),
  );
  return (
    <Dialog title={thing.name} isOpen onClose={onClose}>
      <form
        className={css.section}
        onSubmit={(event) => {
          event.preventDefault();
          if (Object.keys(wanted).length === 0) onClose();
          else change.mutate(wanted, { onSuccess: onClose });
        }}
      >
        <div className={css.form}>
          <Field label={say.name} value={name} onChange={setName} maxLength={80} />
          <Field
            label={say.place}
            value={where}
            onChange={setWhere}
            maxLength={60}
            hint={`${say.placeHint}: ${places.join(", ")}`}
          />
          <Field label={say.countLabel} value={count} onChange={setCount} inputMode="numeric" maxLength={7} />
          <Field label={say.dueOn} value={dueOn} onChange={setDueOn} hint={say.dueHint} maxLength={10} />
          <Choices label={say.charged} options={options} value={charged} onChange={setCharged} />
          <Choices label={say.clean} options={options} value={clean} onChange={setClean} />
          <Field
            label={say.broken}
            value={broken}
            onChange={setBroken}
            hint={say.brokenHint}
            maxLength={200}
          />
          <Field label={say.away} value={away} onChange={setAway} hint={say.awayHint} maxLength={200} />
        </div>
        <p className={css.row}>
          <Button type="submit" look="chief" isDisabled={change.isPending}>
            {save}
          </Button>
          <Button onPress={onClose}>{cancel}</Button>
          <Button onPress={() => remove.mutate(undefined, { onSuccess: onClose })}>{say.remove}</Button>
        </p>
      </form>
    </Dialog>
  );
}
