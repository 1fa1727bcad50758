import type { Role } from "@samescale/server";
import { useState } from "react";
import { ask, reportFrom } from "../../../api/client.ts";
import { useAct } from "../../../api/use-answer.ts";
import { Button } from "../../../parts/button.tsx";
import { Dialog } from "../../../parts/dialog.tsx";
import { Problem } from "../../../parts/problem.tsx";
import { words } from "../../../words/index.ts";
import css from "../practice.module.css";
import { AccountFields, NO_ACCOUNT } from "./account-fields.tsx";
import { ChooseRole } from "./choose-role.tsx";

const { people: say, cancel } = words.practice;

export function AddAccount({ onClose }: { readonly onClose: () => void }) {
  const [role, setRole] = useState<Role>("photographer");
  const [draft, setDraft] = useState(NO_ACCOUNT);
  const add = useAct(() => ask("POST", "/people/accounts", { ...draft, role }), {
    say: () => say.added(draft.name),
  });
  return (
    <Dialog title={say.add} isOpen onClose={onClose}>
      <form
        className={css.section}
        onSubmit={(event) => {
          event.preventDefault();
          add.mutate(undefined, { onSuccess: onClose });
        }}
      >
        <div className={css.form}>
          <AccountFields draft={draft} onChange={setDraft} passwordHint={say.passwordHint} />
          <ChooseRole role={role} onChange={setRole} />
        </div>
        {add.error != null && <Problem report={reportFrom(add.error)} />}
        <p className={css.row}>
          <Button type="submit" look="chief" isDisabled={add.isPending}>
            {say.add}
          </Button>
          <Button onPress={onClose}>{cancel}</Button>
        </p>
      </form>
    </Dialog>
  );
}
