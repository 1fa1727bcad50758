import type { Job, Refusal, ReleaseEnd, TrialEnd } from "@samescale/server";
import { useState } from "react";
import { useLocation } from "wouter";
import { ask } from "../../../api/client.ts";
import { useAct } from "../../../api/use-answer.ts";
import { Button } from "../../../parts/button.tsx";
import { JobProgress } from "../../../parts/job-progress.tsx";
import { useKeys } from "../../../shell/keys.ts";
import { notify } from "../../../shell/notices.ts";
import { words } from "../../../words/index.ts";
import { sizeText } from "../parts/text.ts";
import css from "../release.module.css";
import { RefusalList } from "./refusal-list.tsx";
import type { WantedBody } from "./use-reach.ts";

const { choose: say } = words.release;

export interface LetOutProps {
  readonly code: string;
  readonly wanted: WantedBody;
  /** What would be refused of it now; undefined: not known yet. */
  readonly refusals: readonly Refusal[] | undefined;
  readonly onLeft: () => void;
}

type Doing = { readonly what: "try" | "out"; readonly job: string };

/** The last step: what is missing, a trial, and the one button. A refusal is shown as it is. */
export function LetOut({ code, wanted, refusals, onLeft }: LetOutProps) {
  const [, go] = useLocation();
  const [doing, setDoing] = useState<Doing | null>(null);
  const [end, setEnd] = useState<ReleaseEnd | null>(null);
  const [trial, setTrial] = useState<{ readonly of: string; readonly end: TrialEnd } | null>(null);
  const of = JSON.stringify(wanted);
  const begin = useAct(async (what: Doing["what"]) => {
    setEnd(null);
    setTrial(null);
    const { job } = await ask<{ job: string }>(
      "POST",
      `/release/requests/${encodeURIComponent(code)}/${what}`,
      wanted,
    );
    setDoing({ what, job });
  });
  const isBusy = doing !== null || begin.isPending;
  const isReady = refusals?.length === 0 && !isBusy;
  useKeys(say.keys, [{ key: "t", does: say.keyTrial, run: () => isReady && begin.mutate("try") }]);

  function ended(job: Job): void {
    const what = doing?.what;
    setDoing(null);
    if (job.error) notify({ problem: job.error });
    // Stopped too late it has left all the same: then there is a value.
    if (job.value === null) {
      if (job.state === "stopped") notify({ say: say.stopped });
      return;
    }
    if (what === "try") {
      setTrial({ of, end: job.value as TrialEnd });
      return;
    }
    const released = job.value as ReleaseEnd;
    setEnd(released);
    if (!released.done) return;
    if (released.notSigned !== null) notify({ say: words.release.receipt.notSigned(released.notSigned) });
    onLeft();
    go(`/release/receipts/${released.id}`);
  }

  return (
    <div className={css.letOut}>
      {refusals && refusals.length > 0 && (
        <div className={css.missing}>
          <p>
            <strong>{say.missing}</strong>
          </p>
          <RefusalList code={code} refusals={refusals} />
        </div>
      )}
      {refusals?.length === 0 && !isBusy && <p role="status">{say.ready(wanted.frames.length)}</p>}
      {doing && (
        <>
          <JobProgress id={doing.job} onEnd={ended} />
          {doing.what === "out" && <p className="quiet">{say.releasing}</p>}
        </>
      )}
      {end && !end.done && (
        <div className={css.missing} role="alert">
          <p>
            <strong>{say.refused}</strong>
          </p>
          <RefusalList code={code} refusals={end.refusals} />
        </div>
      )}
      <div className={css.bar}>
        <Button look="chief" isDisabled={!isReady} onPress={() => begin.mutate("out")}>
          {say.releaseNow}
        </Button>
        <Button isDisabled={!isReady} onPress={() => begin.mutate("try")}>
          {say.trial}
        </Button>
      </div>
      <p className="quiet">{say.trialHelp}</p>
      {trial?.of === of && <Trial code={code} end={trial.end} />}
    </div>
  );
}

/** The files as they would be. */
function Trial({ code, end }: { readonly code: string; readonly end: TrialEnd }) {
  if (!end.done) {
    return (
      <div className={css.missing} role="alert">
        <p>
          <strong>{say.trialRefused}</strong>
        </p>
        <RefusalList code={code} refusals={end.refusals} />
      </div>
    );
  }
  const { files } = end.tried;
  const bytes = files.reduce((sum, file) => sum + file.bytes, 0);
  return (
    <div role="status">
      <p>
        <strong>{say.trialDone(files.length, sizeText(bytes))}</strong>{" "}
        <span className="quiet">{say.trialMark}</span>
      </p>
      <ul className={css.fileNames}>
        {files.map((file) => (
          <li key={file.name}>
            <span>{file.name}</span>
            <span className="quiet">{sizeText(file.bytes)}</span>
          </li>
        ))}
      </ul>
    </div>
  );
}
