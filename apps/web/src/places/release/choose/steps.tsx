import type { ReleaseChoices } from "@samescale/server";
import type { ReactNode } from "react";
import { Link } from "../../../parts/link.tsx";
import { useKeys } from "../../../shell/keys.ts";
import { PlaceFrame } from "../../../shell/place-frame.tsx";
import { words } from "../../../words/index.ts";
import css from "../release.module.css";
import { Evidence } from "./evidence.tsx";
import { Forms } from "./forms.tsx";
import { LetOut } from "./let-out.tsx";
import { Pictures } from "./pictures.tsx";
import { Preview } from "./preview.tsx";
import { Recipient } from "./recipient.tsx";
import { RefusalList } from "./refusal-list.tsx";
import { Summary } from "./summary.tsx";
import type { Choice } from "./use-choice.ts";
import { useDraft } from "./use-choice.ts";
import { useReach, useRefusals, useWhatChanged, wantedOf } from "./use-reach.ts";
import { type StepProps, Uses } from "./uses.tsx";

const { choose: say } = words.release;

/** The steps of a release, one below the other: what is answered stays in sight. */
export function Steps({ of, choice, change }: StepProps) {
  const { use } = choice;
  const [draft, write, forget] = useDraft(of.code);
  const reach = useReach(of.code, choice);
  const wanted = wantedOf(choice, draft);
  const refusals = useRefusals(of.code, wanted);
  const changed = useWhatChanged(choice, reach.data).filter(
    ({ frameId }) => frameId !== null && choice.frames.includes(frameId),
  );
  // Two questions are asked at the desk, and a withdrawal may be in the answer of one of them first.
  const isBehind =
    refusals.data?.length === 0 &&
    (reach.data?.some(({ frameId }) => frameId !== null && choice.frames.includes(frameId)) ?? false);
  useKeys(say.keys, [
    {
      key: "a",
      does: say.keyMay,
      run: () =>
        reach.data &&
        change({
          frames: mayLeave(
            of,
            reach.data.flatMap(({ frameId }) => frameId ?? []),
          ),
        }),
    },
  ]);
  const shown = of.pictures.find(({ frameId }) => frameId === choice.shown);
  return (
    <PlaceFrame
      title={say.title(of.code)}
      acts={
        <Link to="/release" look="plain">
          {say.other}
        </Link>
      }
      facts={<Summary of={of} choice={choice} draft={draft} refusals={refusals.data} />}
    >
      <div className={css.steps}>
        {changed.length > 0 && (
          <div className={css.changed} role="alert">
            <p>
              <strong>{say.changed}</strong>
            </p>
            <RefusalList code={of.code} refusals={changed} />
          </div>
        )}
        <Step number={1} title={say.what}>
          <Uses of={of} choice={choice} change={change} />
          {use?.scope === "evidence" && <Evidence of={of} />}
        </Step>
        {use && (
          <>
            <Step number={2} title={say.who}>
              <Recipient draft={draft} write={write} />
            </Step>
            <Step number={3} title={say.form}>
              <Forms of={of} choice={choice} change={change} />
            </Step>
            <Step number={4} title={say.which}>
              {use.masksConfirmed && <p className={css.caution}>{of.cautions.join(" ")}</p>}
              <Pictures of={of} choice={choice} change={change} refusals={reach.data} />
              {shown && (
                <Preview
                  key={`${shown.frameId} ${use.scope}`}
                  frameId={shown.frameId}
                  name={shown.name}
                  use={use}
                  onClose={() => change({ shown: "" })}
                />
              )}
            </Step>
            <Step number={5} title={say.taken}>
              <ul className={css.sentences}>
                {use.rules.map((rule) => (
                  <li key={rule}>{rule}</li>
                ))}
              </ul>
            </Step>
            <Step number={6} title={say.leave}>
              {wanted && (
                <LetOut
                  code={of.code}
                  wanted={wanted}
                  refusals={refusals.isSettled && !isBehind ? refusals.data : undefined}
                  onLeft={forget}
                />
              )}
            </Step>
          </>
        )}
      </div>
    </PlaceFrame>
  );
}

const mayLeave = ({ pictures }: ReleaseChoices, refused: readonly string[]): Choice["frames"] =>
  pictures.map(({ frameId }) => frameId).filter((frameId) => !refused.includes(frameId));

function Step({
  number,
  title,
  children,
}: {
  readonly number: number;
  readonly title: string;
  readonly children: ReactNode;
}) {
  return (
    <section className={css.step} aria-labelledby={`step-${number}`}>
      <h2 id={`step-${number}`}>
        <span className={css.stepNumber}>{number}</span> {title}
      </h2>
      {children}
    </section>
  );
}
