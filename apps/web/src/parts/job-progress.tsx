import type { Job } from "@samescale/server";
import { useEffect, useState } from "react";
import { ProgressBar } from "react-aria-components";
import { ask } from "../api/client.ts";
import { useAnswer } from "../api/use-answer.ts";
import { words } from "../words/index.ts";
import { Answered } from "./answered.tsx";
import { Button } from "./button.tsx";
import css from "./parts.module.css";
import { Problem } from "./problem.tsx";

/** Long work: what, how far, how long still, stop. @param onEnd told once with how it ended */
export function JobProgress({ id, onEnd }: { readonly id: string; readonly onEnd?: (job: Job) => void }) {
  const job = useAnswer<Job>(`/jobs/${id}`, [`job/${id}`]);
  const [isTold, setTold] = useState(false);
  useEffect(() => {
    if (isTold || !job.data || job.data.state === "running") return;
    setTold(true);
    onEnd?.(job.data);
  }, [isTold, job.data, onEnd]);
  return <Answered of={job}>{(now) => <Progress job={now} />}</Answered>;
}

function Progress({ job }: { readonly job: Job }) {
  const { done, total } = job;
  const passedS = (Date.now() - Date.parse(job.startedAt)) / 1000;
  const leftS = total && done > 1 && passedS > 0 ? Math.round((passedS / done) * (total - done)) : null;
  if (job.error) return <Problem report={job.error} />;
  return (
    <div className={css.job}>
      <ProgressBar aria-label={job.what} value={done} maxValue={total ?? 1} isIndeterminate={total === null}>
        <div className={css.jobLine}>
          <span>{job.what}</span>
          <span>{words.parts.progress(done, total)}</span>
        </div>
        <svg className={css.bar} viewBox="0 0 100 4" preserveAspectRatio="none" aria-hidden="true">
          <rect width={total ? (100 * done) / total : 100} height="4" />
        </svg>
      </ProgressBar>
      <p className="quiet">
        {job.at}
        {leftS !== null && job.state === "running" && ` · ${words.parts.left(leftS)}`}
      </p>
      {job.state === "running" && (
        <Button onPress={() => void ask("POST", `/jobs/${job.id}/stop`, {})}>{words.parts.stop}</Button>
      )}
    </div>
  );
}
