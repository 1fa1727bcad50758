import type { FrontOffset, MeasuredLens, PracticeChanged, ShownKit } from "@samescale/server";
import { useEffect, useState } from "react";
import { ask, reportFrom } from "../../../api/client.ts";
import { useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { Button } from "../../../parts/button.tsx";
import { Empty } from "../../../parts/empty.tsx";
import { Field } from "../../../parts/field.tsx";
import { Link } from "../../../parts/link.tsx";
import { Figure } from "../../../parts/number.tsx";
import { Problem } from "../../../parts/problem.tsx";
import { words } from "../../../words/index.ts";
import css from "../practice.module.css";
import { PracticePage } from "../practice-page.tsx";
import { usePracticeChange } from "../use-practice-change.ts";
import own from "./kit.module.css";

const { kit: say } = words.practice;

/** How far the front of a lens lies before its principal plane: measured once, said step by step. */
export function FrontOfLens({ lensId }: { readonly lensId: string }) {
  const kit = useAnswer<ShownKit>("/practice/kit", ["practice"]);
  const lens = kit.data?.lenses.find(({ id }) => id === lensId);
  return (
    <PracticePage here="kit" title={lens ? say.frontTitle(lens.name) : say.front}>
      <Answered of={kit}>
        {() =>
          lens ? (
            <Measuring lens={lens} />
          ) : (
            <Empty title={say.noLens}>
              <Link to="/practice/kit" look="chief">
                {say.backToKit}
              </Link>
            </Empty>
          )
        }
      </Answered>
    </PracticePage>
  );
}

interface Point {
  readonly ratio: string;
  readonly mm: string;
}
const WAIT_MS = 300;
const numberOf = (typed: string) => Number(typed.trim().replace(",", "."));

function Measuring({ lens }: { readonly lens: MeasuredLens }) {
  const known = lens.measured.map(({ ratio, frontToSubjectMm }) => ({ ratio, mm: String(frontToSubjectMm) }));
  const [points, setPoints] = useState<readonly Point[]>(
    [0, 1, 2].map((i) => known[i] ?? { ratio: "", mm: "" }),
  );
  const [offset, setOffset] = useState<FrontOffset | null>(null);
  const [problem, setProblem] = useState<unknown>(null);
  const measured = points
    .filter(({ ratio, mm }) => ratio.trim() !== "" && numberOf(mm) > 0)
    .map(({ ratio, mm }) => ({ ratio: ratio.trim(), frontToSubjectMm: numberOf(mm) }));
  const asked = JSON.stringify({ focalMm: lens.focalMm, measured });
  useEffect(() => {
    const wanted = JSON.parse(asked) as { measured: readonly unknown[] };
    if (wanted.measured.length === 0) {
      setOffset(null);
      setProblem(null);
      return;
    }
    const timer = setTimeout(async () => {
      try {
        setOffset(await ask<FrontOffset>("POST", "/practice/kit/front", wanted));
        setProblem(null);
      } catch (thrown) {
        setOffset(null);
        setProblem(thrown);
      }
    }, WAIT_MS);
    return () => clearTimeout(timer);
  }, [asked]);
  const keep = usePracticeChange(
    (wanted: readonly object[]) =>
      ask<PracticeChanged>("PUT", `/practice/kit/${encodeURIComponent(lens.id)}/front`, { measured: wanted }),
    () => say.kept,
  );
  const set = (at: number, change: Partial<Point>) =>
    setPoints(points.map((point, i) => (i === at ? { ...point, ...change } : point)));
  return (
    <>
      <p className={css.text}>{say.frontSays}</p>
      <ol className={own.steps}>
        {say.steps.map((step) => (
          <li key={step}>{step}</li>
        ))}
      </ol>
      <div className={own.points}>
        {points.flatMap(({ ratio, mm }, i) => [
          <Field
            key={say.ratioRead(i + 1)}
            label={say.ratioRead(i + 1)}
            hint={say.ratioHint}
            value={ratio}
            onChange={(next) => set(i, { ratio: next })}
            maxLength={20}
          />,
          <Field
            key={say.distance(i + 1)}
            label={say.distance(i + 1)}
            value={mm}
            onChange={(next) => set(i, { mm: next })}
            inputMode="decimal"
            maxLength={10}
          />,
        ])}
      </div>
      <div role="status" className={css.section}>
        {problem != null && <Problem report={reportFrom(problem)} />}
        {offset && (
          <>
            <dl className={own.figures}>
              <Figure
                label={`${say.inForce} (${say.engraved(lens.focalMm)})`}
                value={offset.focalInForceMm.toFixed(1)}
                unit="mm"
              />
              <Figure label={say.frontLies} value={offset.frontMm.toFixed(0)} unit="mm" />
            </dl>
            <p>{offset.says}</p>
          </>
        )}
      </div>
      <p className={css.row}>
        <Button look="chief" isDisabled={!offset || keep.isPending} onPress={() => keep.mutate(measured)}>
          {say.keep}
        </Button>
        {known.length > 0 && <Button onPress={() => keep.mutate([])}>{say.forget}</Button>}
        <Link to="/practice/kit" look="plain">
          {say.backToKit}
        </Link>
      </p>
    </>
  );
}
