import type { PracticeChanged, ViewSetToEdit, ViewToEdit } from "@samescale/server";
import { useState } from "react";
import { ask } from "../../../api/client.ts";
import { Button } from "../../../parts/button.tsx";
import { ViewDrawing } from "../../../parts/view-drawing.tsx";
import { words } from "../../../words/index.ts";
import { FaultList } from "../fault-list.tsx";
import css from "../practice.module.css";
import { useChecked } from "../use-checked.ts";
import { usePracticeChange } from "../use-practice-change.ts";
import { useDraft } from "./drafts.ts";
import { FieldOfView } from "./field-of-view.tsx";
import { fieldsOf } from "./view-fields.ts";
import own from "./view-sets.module.css";

const { views: say } = words.practice;

export interface ViewFormProps {
  readonly set: ViewSetToEdit;
  readonly view: ViewToEdit;
  /** Its place in the set. */
  readonly at: number;
  /** The starting practice is shown and not changed. */
  readonly isOwn: boolean;
  readonly goTo: (index: number) => void;
}

/** One view as a form. The practice's own rules are asked while somebody types; what does not pass is not saved. */
export function ViewForm({ set, view, at, isOwn, goTo }: ViewFormProps) {
  const { file } = set;
  const [draft, setDraft] = useDraft(`${file.sha256}/${view.key}`);
  const [round, setRound] = useState(0);
  const changes = Object.entries(draft).map(([field, value]) => ({ path: ["views", at, field], value }));
  const { faults, isAsking } = useChecked(changes.length === 0 ? null : { path: file.path, changes });
  const byField = (field: string) =>
    faults.find(
      ({ field: where }) =>
        where === `views.${at}.${field}` ||
        where.startsWith(`views.${at}.${field}.`) ||
        where === `common.${field}`,
    )?.says ?? null;
  const asked = fieldsOf(set, view.key);
  const named = new Set(asked.flatMap(([, fields]) => fields.map(({ field }) => field)).filter(byField));
  const others = faults.filter(({ field }) => ![...named].some((one) => field.split(".").includes(one)));
  const change = usePracticeChange(
    (wanted: readonly object[]) =>
      ask<PracticeChanged>("POST", "/practice/change", {
        path: file.path,
        before: file.sha256,
        changes: wanted,
      }),
    () => say.saved,
  );
  const save = () => change.mutate(changes, { onSuccess: () => setDraft({}) });
  const more = usePracticeChange(
    (wanted: readonly object[]) =>
      ask<PracticeChanged>("POST", "/practice/change", {
        path: file.path,
        before: file.sha256,
        changes: wanted,
      }),
    () => say.viewAdded,
  );
  const fewer = usePracticeChange(
    () =>
      ask<PracticeChanged>("POST", "/practice/change", {
        path: file.path,
        before: file.sha256,
        changes: [{ path: ["views", at], value: null }],
      }),
    () => say.viewRemoved,
  );
  return (
    <form
      className={css.stack}
      onSubmit={(event) => {
        event.preventDefault();
        if (changes.length > 0 && faults.length === 0) save();
      }}
    >
      <div className={own.head}>
        <div className={css.section}>
          <div>
            <h2>{view.name}</h2>
            <p className={own.ratio}>{view.ratio}</p>
            <p className={css.small}>
              {view.origins.ratio?.says}
              <br />
              {say.version(set.version)}, {say.purposes[set.purpose]}
            </p>
          </div>
          {view.cautions.length > 0 && (
            <ul className={css.faults}>
              {view.cautions.map((caution) => (
                <li key={caution} className={css.small}>
                  <strong>!</strong> {caution}
                </li>
              ))}
            </ul>
          )}
        </div>
        <div className={own.drawing}>
          <ViewDrawing figure={view.figure} />
        </div>
      </div>
      {asked.map(([group, fields]) => (
        <fieldset key={group} className={own.group}>
          <legend>
            <h3>{say.groups[group]}</h3>
          </legend>
          <div className={css.form}>
            {fields.map(({ field, asked: as }) => (
              <FieldOfView
                key={`${field}${round}`}
                field={field}
                asked={as}
                value={field in draft ? draft[field] : view.fields[field]}
                origin={field in draft ? say.becomesOwn : originWords(view, field)}
                problem={byField(field)}
                isDisabled={!isOwn}
                cautions={set.choices.cautions}
                onChange={(value) => {
                  const { [field]: _, ...rest } = draft;
                  const before = view.fields[field] ?? null;
                  setDraft(
                    JSON.stringify(value) === JSON.stringify(before) ? rest : { ...draft, [field]: value },
                  );
                }}
              />
            ))}
          </div>
        </fieldset>
      ))}
      {isOwn && (
        <>
          <p className={css.row}>
            <Button
              onPress={() =>
                more.mutate([{ path: ["views", set.views.length], value: copyOf(set, view) }], {
                  onSuccess: () => goTo(set.views.length),
                })
              }
            >
              {say.addView}
            </Button>
            {set.views.length > 1 && (
              <Button onPress={() => fewer.mutate(undefined)}>{say.removeView}</Button>
            )}
          </p>
          {changes.length > 0 && (
            <div className={own.save}>
              <Button
                type="submit"
                look="chief"
                isDisabled={faults.length > 0 || isAsking || change.isPending}
              >
                {say.saveAs(set.version + 1)}
              </Button>
              <Button
                onPress={() => {
                  setDraft({});
                  setRound(round + 1);
                }}
              >
                {say.reset}
              </Button>
              <span role="status" className={faults.length > 0 ? css.warn : "quiet"}>
                {faults.length > 0
                  ? words.practice.faults(faults.length)
                  : `${say.changed(changes.length)}, ${say.unsaved}`}
              </span>
              {others.length > 0 && <FaultList faults={others} />}
            </div>
          )}
        </>
      )}
    </form>
  );
}

/** The mark of a value; a name or a key rests on nothing. */
const originWords = (view: ViewToEdit, field: string): string =>
  field === "name" || view.fields[field] === undefined ? "" : (view.origins[field]?.says ?? "");

/** The same fields under a key that the set does not have yet; a pair is of two views, not of three. */
function copyOf(set: ViewSetToEdit, view: ViewToEdit): object {
  const keys = new Set(set.views.map(({ key }) => key));
  let n = 2;
  while (keys.has(`${view.key}-${n}`)) n++;
  const fields = Object.fromEntries(
    view.own.filter((field) => field !== "pairOf").map((field) => [field, view.fields[field]]),
  );
  return { ...fields, key: `${view.key}-${n}`, name: `${view.name} ${n}` };
}
