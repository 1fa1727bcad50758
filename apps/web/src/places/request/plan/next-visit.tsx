import type { Job, RepeatedPlan } from "@samescale/server";
import { useState } from "react";
import { ask } from "../../../api/client.ts";
import { useAct } from "../../../api/use-answer.ts";
import { Button } from "../../../parts/button.tsx";
import { JobProgress } from "../../../parts/job-progress.tsx";
import { Link } from "../../../parts/link.tsx";
import { thumbnailUrl } from "../../../viewer/picture-url.ts";
import { words } from "../../../words/index.ts";
import css from "./plan.module.css";
import { ShownPlan } from "./shown-plan.tsx";

const say = words.plan;

/** The next visit's plan from what was really done, beside the pictures that it repeats. */
export function NextVisit({ code, onKept }: { readonly code: string; readonly onKept: () => void }) {
  const [job, setJob] = useState<{ readonly id: string; readonly isSaving: boolean } | null>(null);
  const [repeated, setRepeated] = useState<RepeatedPlan | null>(null);
  const begin = useAct(async (save: boolean) => {
    const { job: id } = await ask<{ job: string }>("POST", `/requests/${code}/plan/repeat`, { save });
    setJob({ id, isSaving: save });
  });
  const ended = ({ state, value }: Job) => {
    if (state !== "done") return;
    setRepeated(value as RepeatedPlan);
    if (job?.isSaving) onKept();
    setJob(null);
  };
  return (
    <section className={css.plan}>
      <p>
        <Button onPress={() => begin.mutate(false)} isDisabled={job !== null}>
          {say.nextVisit}
        </Button>
      </p>
      <p className="quiet">{say.nextVisitHelp}</p>
      {job && <JobProgress key={job.id} id={job.id} onEnd={ended} />}
      {repeated && (
        <>
          <p className={css.row}>
            <Button look="chief" onPress={() => begin.mutate(true)} isDisabled={job !== null}>
              {say.keepRepeat}
            </Button>
            <Link to={`/bedside/${code}`} look="plain">
              {say.toBedside}
            </Link>
          </p>
          <p className="quiet">{say.ghost}</p>
          {repeated.notes.map((note) => (
            <p key={note}>{note}</p>
          ))}
          <Baselines repeated={repeated} />
          <ShownPlan plan={repeated.plan} />
        </>
      )}
    </section>
  );
}

function Baselines({ repeated: { plan, baselines } }: { readonly repeated: RepeatedPlan }) {
  const shown = plan.views.flatMap(({ view }) => {
    const baseline = baselines[view.key];
    return baseline ? [{ name: view.name, ...baseline }] : [];
  });
  return (
    <ul className={css.baselines}>
      {shown.map(({ name, frameId, sha256 }) => (
        <li key={frameId}>
          <img src={thumbnailUrl(sha256)} alt={`${say.asThen}: ${name}`} loading="lazy" />
          <span className="quiet">
            {say.asThen}: {name}
          </span>
        </li>
      ))}
    </ul>
  );
}
