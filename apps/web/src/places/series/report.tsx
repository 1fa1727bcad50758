import type { Job, WholeSeries } from "@samescale/server";
import { type FormEvent, useState } from "react";
import { ask } from "../../api/client.ts";
import { useAct } from "../../api/use-answer.ts";
import { Button } from "../../parts/button.tsx";
import { Choices } from "../../parts/choice.tsx";
import { Dialog } from "../../parts/dialog.tsx";
import { Field } from "../../parts/field.tsx";
import { JobProgress } from "../../parts/job-progress.tsx";
import { Link } from "../../parts/link.tsx";
import { words } from "../../words/index.ts";
import css from "./series.module.css";

const { report: say } = words.series;
const SCOPES = (["requester", "health-record"] as const).map((value) => ({
  value,
  label: say.scopes[value],
}));
type Made = { readonly releaseId: string; readonly name: string };

/** The report as PDF. It leaves, so it goes the one way out: for whom, what for, and a receipt. */
export function ReportDialog({
  series,
  onClose,
}: {
  readonly series: WholeSeries;
  readonly onClose: () => void;
}) {
  const { request, view } = series;
  const [scope, setScope] = useState<"requester" | "health-record">("requester");
  const [to, setTo] = useState(say.scopes.requester);
  const [purpose, setPurpose] = useState(say.purposeSaid(request.title));
  const [job, setJob] = useState<string | null>(null);
  const [made, setMade] = useState<Made | null>(null);
  const make = useAct(() =>
    ask<{ job: string }>("POST", `/series/${encodeURIComponent(request.code)}/report`, {
      ...{ view: view?.key, scope, to, purpose },
    }).then((answer) => setJob(answer.job)),
  );
  const submit = (event: FormEvent) => {
    event.preventDefault();
    make.mutate(undefined);
  };
  const onEnd = ({ state, value }: Job) => {
    if (state === "done") setMade(value as Made);
  };
  return (
    <Dialog title={say.title} isOpen onClose={onClose}>
      {made ? (
        <div className={css.form}>
          <p>{say.done}</p>
          <p>
            <a
              href={`/api/release/receipts/${made.releaseId}/file?name=${encodeURIComponent(made.name)}`}
              download
            >
              {say.fetch(made.name)}
            </a>
          </p>
          <p>
            <Link to={`/release/receipts/${made.releaseId}`}>{say.receipt}</Link>
          </p>
        </div>
      ) : job ? (
        <div className={css.form}>
          <JobProgress id={job} onEnd={onEnd} />
          <p>
            <Button onPress={() => setJob(null)}>{say.again}</Button>
          </p>
        </div>
      ) : (
        <form className={css.form} onSubmit={submit}>
          <p>{say.help}</p>
          <Choices
            label={say.scope}
            options={SCOPES}
            value={scope}
            onChange={(value) => {
              setScope(value);
              setTo(say.scopes[value]);
            }}
          />
          <Field label={say.to} hint={say.toHint} value={to} onChange={setTo} maxLength={120} isRequired />
          <Field label={say.purpose} value={purpose} onChange={setPurpose} maxLength={200} isRequired />
          <p>
            <Button look="chief" type="submit" isPending={make.isPending}>
              {say.make}
            </Button>
          </p>
        </form>
      )}
    </Dialog>
  );
}
