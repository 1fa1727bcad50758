import type { Job, ReleasedCheck } from "@samescale/server";
import { useState } from "react";
import { ask } from "../../../api/client.ts";
import { useAct } from "../../../api/use-answer.ts";
import { Button } from "../../../parts/button.tsx";
import { JobProgress } from "../../../parts/job-progress.tsx";
import { notify } from "../../../shell/notices.ts";
import { words } from "../../../words/index.ts";
import css from "./receipts.module.css";

const { receipt: say } = words.release;

/** Whether what lies in the folder is still what left. */
export function CheckAgain({ id }: { readonly id: string }) {
  const [job, setJob] = useState<string | null>(null);
  const [check, setCheck] = useState<ReleasedCheck | null>(null);
  const begin = useAct(() => ask<{ job: string }>("POST", `/release/receipts/${id}/check`, {}));
  return (
    <div className={`${css.check} not-printed`}>
      <Button
        isDisabled={job !== null || begin.isPending}
        onPress={() => {
          setCheck(null);
          begin.mutate(undefined, { onSuccess: (begun) => setJob(begun.job) });
        }}
      >
        {say.check}
      </Button>
      {job && (
        <JobProgress
          id={job}
          onEnd={(ended: Job) => {
            setJob(null);
            if (ended.error) notify({ problem: ended.error });
            if (ended.state === "done") setCheck(ended.value as ReleasedCheck);
          }}
        />
      )}
      {check && (
        <div role="status">
          {check.faults.length === 0 ? (
            <p>{say.checked(check.files)}</p>
          ) : (
            <>
              <p>
                <strong>{say.faults(check.faults.length)}</strong>
              </p>
              <ul className={css.rules}>
                {check.faults.map(({ file, fault }) => (
                  <li key={`${file} ${fault}`}>
                    {file}: {fault}
                  </li>
                ))}
              </ul>
            </>
          )}
        </div>
      )}
    </div>
  );
}
