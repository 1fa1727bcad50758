import type { ConsentOfRequest } from "@samescale/server";
import { useState } from "react";
import { ask } from "../../../api/client.ts";
import { useAct } from "../../../api/use-answer.ts";
import { Button } from "../../../parts/button.tsx";
import { Dialog } from "../../../parts/dialog.tsx";
import { Field } from "../../../parts/field.tsx";
import { words } from "../../../words/index.ts";
import css from "./consent.module.css";

const say = words.consent;

/** What has to be asked again, and that a patient for whom others decided can decide again. */
export function Tasks({ code, consent }: { readonly code: string; readonly consent: ConsentOfRequest }) {
  const wasDecided = consent.answers.some(
    ({ capacity, withdrawnAt }) => capacity === "best-interest" && withdrawnAt === null,
  );
  if (consent.tasks.length === 0 && !wasDecided) return null;
  return (
    <section className={css.tasks}>
      {consent.tasks.length > 0 && (
        <>
          <h2>{say.tasks}</h2>
          <ul>
            {consent.tasks.map(({ kind, consentId, releaseId, says }) => (
              <li key={`${kind} ${consentId ?? releaseId}`}>{says}.</li>
            ))}
          </ul>
        </>
      )}
      {wasDecided && <Regained code={code} />}
    </section>
  );
}

function Regained({ code }: { readonly code: string }) {
  const [isOpen, setOpen] = useState(false);
  const [on, setOn] = useState("");
  const [assessedBy, setAssessedBy] = useState("");
  const [found, setFound] = useState("");
  const note = useAct(() => ask("POST", `/requests/${code}/capacity`, { on, assessedBy, found }), {
    say: () => say.regainedSaid,
  });
  return (
    <>
      <Button onPress={() => setOpen(true)}>{say.regained}</Button>
      <Dialog title={say.regained} isOpen={isOpen} onClose={() => setOpen(false)}>
        <form
          className={css.dialog}
          onSubmit={(event) => {
            event.preventDefault();
            note.mutate(undefined, { onSuccess: () => setOpen(false) });
          }}
        >
          <Field
            label={say.regainedOn}
            hint={words.request.form.dayHint}
            value={on}
            onChange={setOn}
            autoFocus
          />
          <Field label={say.assessedBy} value={assessedBy} onChange={setAssessedBy} />
          <Field label={say.found} value={found} onChange={setFound} />
          <p>
            <Button type="submit" look="chief" isDisabled={note.isPending}>
              {say.regained}
            </Button>
          </p>
        </form>
      </Dialog>
    </>
  );
}
