import type { PlanAnswer } from "@samescale/server";
import { useState } from "react";
import { useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { Button } from "../../../parts/button.tsx";
import { useMe } from "../../../shell/session.tsx";
import { words } from "../../../words/index.ts";
import type { Whole } from "../form/draft.ts";
import { NextVisit } from "./next-visit.tsx";
import css from "./plan.module.css";
import { PlanForm } from "./plan-form.tsx";
import { ShownPlan } from "./shown-plan.tsx";

const say = words.plan;

/** The plan that is kept; planning anew; planning the next visit from what was done. */
export function PlanTab({ request }: { readonly request: Whole }) {
  const { role } = useMe();
  const works = (role === "photographer" || role === "lead") && request.state === "open";
  const kept = useAnswer<PlanAnswer>(`/requests/${request.code}/plan`, ["plan", "frame"]);
  const [isPlanning, setPlanning] = useState(false);
  const done = () => setPlanning(false);
  return (
    <Answered of={kept}>
      {({ plan, photographedOn }) => {
        if (works && (plan === null || isPlanning)) {
          return (
            <div className={css.plan}>
              {plan !== null && (
                <p className={css.row}>
                  <Button onPress={done}>{say.again}</Button>
                </p>
              )}
              <PlanForm request={request} onKept={done} />
            </div>
          );
        }
        if (plan === null) return <p>{say.none}</p>;
        return (
          <div className={css.plan}>
            {works && (
              <p className={`${css.row} not-printed`}>
                <Button onPress={() => setPlanning(true)}>{say.anew}</Button>
              </p>
            )}
            <ShownPlan plan={plan} />
            {works && photographedOn !== null && <NextVisit code={request.code} onKept={done} />}
          </div>
        );
      }}
    </Answered>
  );
}
