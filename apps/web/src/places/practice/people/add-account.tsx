import type { Role } from "@samescale/server";
import { useState } from "react";
import { ask, reportFrom } from "../../../api/client.ts";
import { useAct } from "../../../api/use-answer.ts";
import { Button } from "../../../parts/button.tsx";
import { Dialog } from "../../../parts/dialog.tsx";
import { Field } from "../../../parts/field.tsx";
import { Problem } from "../../../parts/problem.tsx";
import { words } from "../../../words/index.ts";
import css from "../practice.module.css";
import { ChooseRole } from "./choose-role.tsx";

const { people: say, cancel } = words.practice;

export function AddAccount({ onClose }: { readonly onClose: () => void }) {
  const [login, setLogin] = useState("");
  const [name, setName] = useState("");
  const [role, setRole] = useState<Role>("photographer");
  const [password, setPassword] = useState("");
  const add = useAct(() => ask("POST", "/people/accounts", { login, name, role, password }), {
    say: () => say.added(name),
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
          <Field
            label={say.name}
            value={name}
            onChange={setName}
            hint={say.nameHint}
            maxLength={100}
            autoComplete="off"
          />
          <Field
            label={say.login}
            value={login}
            onChange={setLogin}
            hint={say.loginHint}
            maxLength={40}
            autoComplete="off"
          />
          <Field
            label={say.password}
            type="password"
            value={password}
            onChange={setPassword}
            hint={say.passwordHint}
            maxLength={256}
            autoComplete="new-password"
          />
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
