import { useState } from "react";
import { ask, reportFrom } from "../../../api/client.ts";
import { useAct } from "../../../api/use-answer.ts";
import { Button } from "../../../parts/button.tsx";
import { Problem } from "../../../parts/problem.tsx";
import { words } from "../../../words/index.ts";
import css from "../practice.module.css";
import { AccountFields, NO_ACCOUNT } from "./account-fields.tsx";

const { people: say } = words.practice;

/** Turns a library of one person into one with accounts. What that means is said before. */
export function FirstAccount({ onDone }: { readonly onDone?: () => void }) {
  const [draft, setDraft] = useState(NO_ACCOUNT);
  const make = useAct(() => ask("POST", "/people/accounts/first", draft), {
    say: () => say.firstDone,
  });
  return (
    <form
      className={`${css.section} ${css.note}`}
      onSubmit={(event) => {
        event.preventDefault();
        make.mutate(undefined, {
          onSuccess: () => {
            setDraft({ ...draft, password: "" });
            onDone?.();
          },
        });
      }}
    >
      <h3>{say.firstTitle}</h3>
      <p>{say.firstSays}</p>
      <div className={css.form}>
        <AccountFields draft={draft} onChange={setDraft} passwordHint={words.people.nextHint} />
      </div>
      {make.error != null && <Problem report={reportFrom(make.error)} />}
      <p>
        <Button
          type="submit"
          isDisabled={make.isPending || Object.values(draft).some((text) => text.trim() === "")}
        >
          {say.makeFirst}
        </Button>
      </p>
    </form>
  );
}
