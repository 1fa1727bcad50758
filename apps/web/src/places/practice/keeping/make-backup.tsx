import type { BackupMade, Job, ShownBackup } from "@samescale/server";
import { useState } from "react";
import { ask } from "../../../api/client.ts";
import { useAct } from "../../../api/use-answer.ts";
import { Button } from "../../../parts/button.tsx";
import { Checkbox } from "../../../parts/checkbox.tsx";
import { Choices } from "../../../parts/choice.tsx";
import { Field } from "../../../parts/field.tsx";
import { JobProgress } from "../../../parts/job-progress.tsx";
import { words } from "../../../words/index.ts";
import css from "../practice.module.css";

const { keeping: say } = words.practice;
type Kind = keyof typeof say.kinds;

/** A backup begun and followed. The passphrase is in this form and nowhere else, and gone when it was sent. */
export function MakeBackup({ places }: { readonly places: readonly string[] }) {
  const [last = ""] = places;
  const [kind, setKind] = useState<Kind>(last.startsWith("s3://") ? "store" : "folder");
  const [place, setPlace] = useState(last);
  const [endpoint, setEndpoint] = useState("");
  const [isEncrypted, setEncrypted] = useState(true);
  const [secret, setSecret] = useState("");
  const [again, setAgain] = useState("");
  const [job, setJob] = useState<string | null>(null);
  const [ended, setEnded] = useState<Job | null>(null);
  const wanted = () => ({
    place: place.trim(),
    ...(kind === "store" && { store: { endpoint: endpoint.trim() } }),
    passphrase: isEncrypted ? secret : null,
  });
  const begin = useAct<void, { job: string }>(() => ask("POST", "/practice/backup", wanted()));
  const look = useAct<void, readonly ShownBackup[]>(() => ask("POST", "/practice/backups", wanted()));
  const isAlike = secret === again;
  return (
    <form
      className={css.section}
      onSubmit={(event) => {
        event.preventDefault();
        setEnded(null);
        begin.mutate(undefined, {
          onSuccess: ({ job: id }) => {
            setJob(id);
            setSecret("");
            setAgain("");
          },
        });
      }}
    >
      <h3>{say.make}</h3>
      <p className={css.text}>{say.makeSays}</p>
      <Choices
        label={say.where}
        options={Object.entries(say.kinds).map(([value, label]) => ({ value: value as Kind, label }))}
        value={kind}
        onChange={setKind}
      />
      <div className={css.form}>
        <Field
          label={kind === "store" ? say.store : say.folder}
          value={place}
          onChange={setPlace}
          hint={kind === "store" ? say.storeHint : say.folderHint}
          maxLength={1000}
        />
        {kind === "store" && (
          <Field
            label={say.endpoint}
            value={endpoint}
            onChange={setEndpoint}
            hint={`${say.endpointHint}. ${say.credentials}`}
            maxLength={300}
          />
        )}
      </div>
      <Checkbox isSelected={isEncrypted} onChange={setEncrypted}>
        {say.encrypted}
      </Checkbox>
      {isEncrypted ? (
        <div className={css.form}>
          <Field
            label={say.passphrase}
            type="password"
            value={secret}
            onChange={setSecret}
            hint={say.passphraseHint}
            maxLength={1000}
            autoComplete="off"
          />
          <Field
            label={say.passphraseAgain}
            type="password"
            value={again}
            onChange={setAgain}
            maxLength={1000}
            autoComplete="off"
            problem={isAlike || again === "" ? null : say.notTheSame}
          />
        </div>
      ) : (
        <p className={css.warn}>○ {say.notEncrypted}</p>
      )}
      <p className={css.row}>
        <Button
          type="submit"
          look="chief"
          isDisabled={place.trim() === "" || begin.isPending || (isEncrypted && (secret === "" || !isAlike))}
        >
          {say.begin}
        </Button>
        <Button
          isDisabled={place.trim() === "" || look.isPending || (isEncrypted && secret === "")}
          onPress={() => look.mutate(undefined)}
        >
          {say.look}
        </Button>
      </p>
      {look.data && (
        <div role="status" className={css.section}>
          <p>{look.data.length === 0 ? say.nothingThere : say.there}</p>
          <ul className={css.lines}>
            {look.data.map(({ name, madeAt, originals, entries, faults }) => (
              <li key={name} className={css.line}>
                <span className={css.strong}>{madeAt.slice(0, 16).replace("T", " ")} UTC</span>
                <span className="quiet">
                  {say.originals(originals)}, {say.entries(entries)}
                  {faults > 0 && `, ${say.lacks(faults)}`}
                </span>
              </li>
            ))}
          </ul>
        </div>
      )}
      {job && <JobProgress key={job} id={job} onEnd={setEnded} />}
      {ended?.state === "done" && <Ended made={ended.value as BackupMade} />}
    </form>
  );
}

function Ended({ made: { faults, originals, copied } }: { readonly made: BackupMade }) {
  return (
    <div role="status">
      <p className={css.strong}>
        {faults.length === 0 ? `● ${say.whole(originals, copied)}` : say.lacking(faults.length)}
      </p>
      <ul className={css.faults}>
        {faults.map((fault) => (
          <li key={fault}>{fault}</li>
        ))}
      </ul>
    </div>
  );
}
