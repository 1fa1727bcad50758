import type { KitThing, PracticeChanged, ShownKit } from "@samescale/server";
import { useState } from "react";
import { ask } from "../../../api/client.ts";
import { useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { Button } from "../../../parts/button.tsx";
import { Checkbox } from "../../../parts/checkbox.tsx";
import { Link } from "../../../parts/link.tsx";
import { words } from "../../../words/index.ts";
import css from "../practice.module.css";
import { PracticePage } from "../practice-page.tsx";
import { usePracticeChange } from "../use-practice-change.ts";
import { AddThing } from "./add-thing.tsx";
import { ChangeThing } from "./change-thing.tsx";
import own from "./kit.module.css";

const { kit: say } = words.practice;
type Group = keyof typeof say.groups;

/** The register: what there is, in which state, and one thing changed with one touch. */
export function Kit() {
  const kit = useAnswer<ShownKit>("/practice/kit", ["practice"]);
  const [changing, setChanging] = useState<KitThing | null>(null);
  const [isAdding, setAdding] = useState(false);
  return (
    <PracticePage
      here="kit"
      acts={
        <>
          <Button onPress={() => setAdding(true)}>{say.add}</Button>
          <Link to="/practice/kit/scales" look="plain">
            {say.toScales}
          </Link>
          <Link to="/practice/file/kit.yaml" look="plain">
            {say.text}
          </Link>
        </>
      }
    >
      <p className={css.text}>{say.says}</p>
      <Answered of={kit}>
        {({ things, places }) => (
          <>
            {(Object.keys(say.groups) as Group[]).map((group) => {
              const here = things.filter((thing) => thing.group === group);
              if (here.length === 0) return null;
              return (
                <section key={group}>
                  <h2>{say.groups[group]}</h2>
                  <ul className={css.lines}>
                    {here.map((thing) => (
                      <Thing key={thing.id} thing={thing} change={() => setChanging(thing)} />
                    ))}
                  </ul>
                </section>
              );
            })}
            {changing && (
              <ChangeThing
                key={changing.id}
                thing={changing}
                places={places}
                onClose={() => setChanging(null)}
              />
            )}
            {isAdding && <AddThing places={places} onClose={() => setAdding(false)} />}
          </>
        )}
      </Answered>
    </PracticePage>
  );
}

function Thing({ thing, change }: { readonly thing: KitThing; readonly change: () => void }) {
  const { id, group, name, facts, where, count, charged, clean, unusable, toDo, dueOn } = thing;
  const set = usePracticeChange(
    (wanted: object) => ask<PracticeChanged>("PATCH", `/practice/kit/${encodeURIComponent(id)}`, wanted),
    () => say.changed(name),
  );
  const wrong = [...(unusable ? [unusable] : []), ...toDo];
  return (
    <li className={own.thing}>
      <span className={css.strong}>
        {count !== 1 && `${say.count(count)} `}
        {name}
      </span>
      <span className={css.small}>
        {facts}
        {facts && " · "}
        {where}
        {dueOn && toDo.length === 0 && ` · ${say.due(dueOn)}`}
      </span>
      <span className={wrong.length > 0 ? css.warn : "quiet"}>
        {wrong.length > 0 ? `○ ${wrong.join("; ")}` : `● ${say.ready}`}
      </span>
      <span className={own.flags}>
        {charged !== null && (
          <Checkbox
            isSelected={charged}
            onChange={(on) => set.mutate({ charged: on })}
            aria-label={`${say.charged}: ${name}`}
          >
            {say.charged}
          </Checkbox>
        )}
        {clean !== null && (
          <Checkbox
            isSelected={clean}
            onChange={(on) => set.mutate({ clean: on })}
            aria-label={`${say.clean}: ${name}`}
          >
            {say.clean}
          </Checkbox>
        )}
      </span>
      <span className={own.acts}>
        {group === "lenses" && (
          <Link to={`/practice/kit/${encodeURIComponent(id)}`} look="plain">
            {say.front}
          </Link>
        )}
        <Button onPress={change} aria-label={say.changeOf(name)}>
          {say.change}
        </Button>
      </span>
    </li>
  );
}
