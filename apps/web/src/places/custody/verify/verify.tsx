import type { Job, Verified } from "@samescale/server";
import { type FormEvent, useState } from "react";
import { useSearchParams } from "wouter";
import { ask } from "../../../api/client.ts";
import { useAct, useAnswer } from "../../../api/use-answer.ts";
import { Button } from "../../../parts/button.tsx";
import { Field } from "../../../parts/field.tsx";
import { JobProgress } from "../../../parts/job-progress.tsx";
import { useKeys } from "../../../shell/keys.ts";
import { words } from "../../../words/index.ts";
import css from "../custody.module.css";
import { Outcome } from "./outcome.tsx";

const said = words.custody.verify;

/** Everything read again and compared, now; what it came to stays in the address. */
export function Verify() {
  const [asked, setAsked] = useSearchParams();
  const id = asked.get("verify");
  const [head, setHead] = useState("");
  const job = useAnswer<Job>(id === null ? null : `/jobs/${id}`, [`job/${id}`]);
  const start = useAct(async () => {
    const begun = await ask<{ job: string }>("POST", "/custody/verify", { head: head.trim() || null });
    setAsked((now) => {
      now.set("verify", begun.job);
      return now;
    });
  });
  const isRunning = job.data?.state === "running";
  useKeys(words.custody.keys.title, [
    { key: "v", does: words.custody.keys.verify, run: () => !isRunning && start.mutate(undefined) },
  ]);
  const submit = (event: FormEvent) => {
    event.preventDefault();
    start.mutate(undefined);
  };
  const verified = job.data?.state === "done" ? (job.data.value as Verified) : null;
  return (
    <section aria-labelledby="verify" className={css.panel}>
      <h2 id="verify">{said.title}</h2>
      {verified && <Outcome verified={verified} />}
      {id !== null && job.data && job.data.state !== "done" && <JobProgress id={id} />}
      {job.data?.state === "stopped" && <p>{said.stopped}</p>}
      {!verified && !isRunning && <p className="quiet">{said.hint}</p>}
      {!isRunning && (
        <form className={css.verifyForm} onSubmit={submit}>
          <Button look="chief" type="submit">
            {verified ? said.again : said.now}
          </Button>
          <details>
            <summary>{said.kept}</summary>
            <Field
              label={said.head}
              hint={said.headHint}
              value={head}
              onChange={setHead}
              maxLength={100}
              autoComplete="off"
              spellCheck="false"
            />
          </details>
        </form>
      )}
    </section>
  );
}
