import { useState } from "react";
import { Button } from "../../../parts/button.tsx";
import { useKeys } from "../../../shell/keys.ts";
import { useMe } from "../../../shell/session.tsx";
import { words } from "../../../words/index.ts";
import { MarkedOutline } from "../body/marked-outline.tsx";
import type { Whole } from "../form/draft.ts";
import { ChangeForm } from "./change-form.tsx";
import { Ending } from "./ending.tsx";
import { fieldsSaid } from "./fields-said.ts";
import css from "./whole-request.module.css";

const say = words.request.whole;

/** What was asked for, and changing it. */
export function AskedTab({ request }: { readonly request: Whole }) {
  const { role } = useMe();
  const [isChanging, setChanging] = useState(false);
  const mayChange = (role === "photographer" || role === "lead") && request.state === "open";
  useKeys(
    words.request.title,
    mayChange ? [{ key: "e", does: say.editKey, run: () => setChanging(true) }] : [],
  );
  if (isChanging) return <ChangeForm request={request} onEnd={() => setChanging(false)} />;
  const byChart = [
    ...Map.groupBy(
      request.details.parts.flatMap(({ marks }) => marks),
      ({ chart }) => chart,
    ).values(),
  ];
  return (
    <div className={css.asked}>
      <div className={byChart.length > 0 ? css.withOutline : undefined}>
        <dl className={css.fields}>
          {fieldsSaid(request).map(({ field, text, isCaution }) => (
            <Field key={field} name={say.fields[field]} text={text} isCaution={isCaution} />
          ))}
        </dl>
        {byChart.length > 0 && (
          <div className={css.outlines}>
            {byChart.map((marks) => (
              <MarkedOutline key={marks[0]!.chart} marks={marks} />
            ))}
          </div>
        )}
      </div>
      {(role === "photographer" || role === "lead") && (
        <div className={`${css.acts} not-printed`}>
          {mayChange && <Button onPress={() => setChanging(true)}>{say.edit}</Button>}
          <Ending request={request} />
        </div>
      )}
    </div>
  );
}

function Field({
  name,
  text,
  isCaution,
}: {
  readonly name: string;
  readonly text: string;
  readonly isCaution: boolean;
}) {
  return (
    <>
      <dt>{name}</dt>
      <dd className={isCaution ? css.mind : undefined}>{text}</dd>
    </>
  );
}
