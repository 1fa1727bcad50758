import type { ListedViewSet } from "@samescale/server";
import { Link, useSearchParams } from "wouter";
import { useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { Field } from "../../../parts/field.tsx";
import { ViewDrawing } from "../../../parts/view-drawing.tsx";
import { words } from "../../../words/index.ts";
import css from "../practice.module.css";
import { PracticePage } from "../practice-page.tsx";
import own from "./view-sets.module.css";

const { views: say } = words.practice;

/** Every view set of the department. What is looked for stands in the address. */
export function ViewSetList() {
  const sets = useAnswer<readonly ListedViewSet[]>("/practice/view-sets", ["practice"]);
  const [wanted, want] = useSearchParams();
  const text = wanted.get("find") ?? "";
  return (
    <PracticePage here="views">
      <p className={css.text}>{say.says}</p>
      <Field
        label={say.find}
        type="search"
        value={text}
        onChange={(typed) => want(typed === "" ? {} : { find: typed }, { replace: true })}
        maxLength={80}
      />
      <Answered of={sets}>
        {(all) => (
          <ul className={own.sets}>
            {all
              .filter(({ key, name }) => `${name} ${key}`.toLowerCase().includes(text.trim().toLowerCase()))
              .map((set) => (
                <li key={set.key}>
                  <Link href={`/practice/views/${set.key}`} className={own.set}>
                    <span className={own.picture}>
                      <ViewDrawing figure={set.figure} />
                    </span>
                    <span>
                      <span className={own.name}>{set.name}</span>
                      <span className={css.small}>
                        {say.views(set.views)}, {set.ratios.slice(0, 4).join(", ")}
                        {set.ratios.length > 4 && " …"}, {say.minutes(set.minutes)}
                        <br />
                        {say.purposes[set.purpose]}; {say.ratiosFrom} {say.marksOf(set.marks)}
                      </span>
                    </span>
                  </Link>
                </li>
              ))}
          </ul>
        )}
      </Answered>
    </PracticePage>
  );
}
