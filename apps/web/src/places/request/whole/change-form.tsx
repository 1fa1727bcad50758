import type { RequestForm, WholeRequestAnswer } from "@samescale/server";
import { useState } from "react";
import { ask, Refused } from "../../../api/client.ts";
import { useAct, useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { Button } from "../../../parts/button.tsx";
import { Problem } from "../../../parts/problem.tsx";
import { words } from "../../../words/index.ts";
import { AskedFields } from "../form/asked-fields.tsx";
import { changesBetween, countOf, draftOf, type Whole } from "../form/draft.ts";
import css from "../form/form.module.css";

const say = words.request;

/** Asking for something else. Of two who do it at once the second is told what the first did. */
export function ChangeForm({ request, onEnd }: { readonly request: Whole; readonly onEnd: () => void }) {
  const form = useAnswer<RequestForm>("/requests/form");
  return (
    <Answered of={form}>{(given) => <Changing form={given} request={request} onEnd={onEnd} />}</Answered>
  );
}

function Changing({
  form,
  request,
  onEnd,
}: {
  readonly form: RequestForm;
  readonly request: Whole;
  readonly onEnd: () => void;
}) {
  // What the person had in front of them: the page below may be told of a newer one at any moment.
  const [seen, setSeen] = useState(request);
  const [draft, setDraft] = useState(() => draftOf(request));
  const path = `/requests/${request.code}`;
  const changes = changesBetween(draftOf(seen), draft);
  const keep = useAct(() => ask<WholeRequestAnswer>("PATCH", path, { ...changes, since: seen.version }), {
    say: () => say.whole.changed,
    undo: (after) =>
      ask("PATCH", path, {
        ...changesBetween(draft, draftOf(seen)),
        since: (after as WholeRequestAnswer).version,
      }),
  });
  const conflict = keep.error instanceof Refused && keep.error.status === 409 ? keep.error.report : null;
  const takeTheirs = () => {
    // Theirs is the ground now; what was typed here lies over it, and both are seen.
    const theirs = draftOf(request);
    const mine = draft;
    const before = draftOf(seen);
    const touched = (Object.keys(mine) as (keyof typeof mine)[]).filter(
      (field) => JSON.stringify(mine[field]) !== JSON.stringify(before[field]),
    );
    setDraft({ ...theirs, ...Object.fromEntries(touched.map((field) => [field, mine[field]])) });
    setSeen(request);
    keep.reset();
  };
  const count = countOf(changes);
  return (
    <form
      className={css.form}
      onSubmit={(event) => {
        event.preventDefault();
        keep.mutate(undefined, { onSuccess: onEnd });
      }}
    >
      {conflict && (
        <section>
          <h2>{say.whole.conflict}</h2>
          <Problem report={conflict} />
          <p>{say.whole.conflictHelp}</p>
          <p className={css.changed}>
            <Button onPress={takeTheirs} isDisabled={request.version === seen.version}>
              {say.whole.overTheirs}
            </Button>
            <Button onPress={onEnd}>{say.form.leave}</Button>
          </p>
        </section>
      )}
      <AskedFields draft={draft} onChange={setDraft} form={form} isClinical={request.kind === "clinical"} />
      <p className={`${css.send} ${css.changed}`}>
        <Button type="submit" look="chief" isDisabled={count === 0 || keep.isPending}>
          {say.form.keep}
        </Button>
        <Button onPress={onEnd}>{say.form.leave}</Button>
        <span className="quiet">{count === 0 ? say.form.nothing : say.form.changed(count)}</span>
      </p>
    </form>
  );
}
