import type { FirstRunState } from "@samescale/server";
import { Link, useLocation, useSearchParams } from "wouter";
import { useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { Button } from "../../../parts/button.tsx";
import { Empty } from "../../../parts/empty.tsx";
import { Link as ToPractice } from "../../../parts/link.tsx";
import { leaveFirstRun } from "../../../shell/first-run.ts";
import { PlaceFrame } from "../../../shell/place-frame.tsx";
import { words } from "../../../words/index.ts";
import css from "../practice.module.css";
import { DepartmentStep } from "./department-step.tsx";
import own from "./first-run.module.css";
import { KitStep } from "./kit-step.tsx";
import { PeopleStep } from "./people-step.tsx";

const { firstRun: say } = words.practice;

/** From an empty library to a working department. The step stands in the address. */
export function FirstRun() {
  const state = useAnswer<FirstRunState>("/first-run", ["practice", "account"]);
  const [wanted, want] = useSearchParams();
  const [, go] = useLocation();
  const step = Math.min(3, Math.max(1, Math.floor(Number(wanted.get("step"))) || 1));
  const next = () => (step === 3 ? leave() : want({ step: String(step + 1) }));
  const leave = () => {
    leaveFirstRun();
    go("/");
  };
  if (state.data && !state.data.isEmpty) {
    return (
      <PlaceFrame title={say.title}>
        <Empty title={say.inUse}>
          <p>{say.inUseSays}</p>
          <ToPractice to="/practice" look="chief">
            {words.practice.nav}
          </ToPractice>
        </Empty>
      </PlaceFrame>
    );
  }
  return (
    <PlaceFrame title={say.title} acts={<Button onPress={leave}>{say.leave}</Button>}>
      <div className={css.stack}>
        <p className={css.text}>{say.says}</p>
        <nav aria-label={say.title}>
          <ol className={own.steps}>
            {say.names.map((name, i) => {
              const isDone = i === 0 ? state.data?.department : i === 1 ? state.data?.kit.length : false;
              return (
                <li key={name}>
                  <Link
                    href={`?step=${i + 1}`}
                    aria-current={step === i + 1 ? "step" : undefined}
                    className={isDone ? own.done : undefined}
                  >
                    <span aria-hidden="true">{isDone ? "✓" : i + 1}</span>
                    {name}
                    {isDone ? <span className="only-heard">{say.done}</span> : null}
                  </Link>
                </li>
              );
            })}
          </ol>
        </nav>
        <Answered of={state}>
          {(now) => (
            <section className={css.section}>
              <p className="quiet">{say.step(step)}</p>
              {step === 1 && <DepartmentStep state={now} next={next} />}
              {step === 2 && <KitStep state={now} next={next} />}
              {step === 3 && <PeopleStep next={next} />}
            </section>
          )}
        </Answered>
      </div>
    </PlaceFrame>
  );
}
