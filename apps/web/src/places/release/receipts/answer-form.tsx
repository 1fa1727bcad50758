import { useState } from "react";
import { ask } from "../../../api/client.ts";
import { useAct } from "../../../api/use-answer.ts";
import { Button } from "../../../parts/button.tsx";
import { Field } from "../../../parts/field.tsx";
import { words } from "../../../words/index.ts";
import css from "./receipts.module.css";

const { recalls: say } = words.release;

/** What a recipient answered: written down once, it stays. */
export function AnswerForm({ releaseId, to }: { readonly releaseId: string; readonly to: string }) {
  const [says, setSays] = useState("");
  const answer = useAct(() => ask("POST", `/release/receipts/${releaseId}/answer`, { says }), {
    say: () => say.written(to),
  });
  return (
    <form
      className={`${css.answer} not-printed`}
      onSubmit={(event) => {
        event.preventDefault();
        answer.mutate(undefined);
      }}
    >
      <Field
        label={say.says}
        aria-label={`${say.says}: ${to}`}
        hint={say.saysHint}
        value={says}
        onChange={setSays}
        maxLength={2000}
        autoComplete="off"
      />
      <Button type="submit" isDisabled={says.trim() === "" || answer.isPending}>
        {say.write}
      </Button>
    </form>
  );
}
