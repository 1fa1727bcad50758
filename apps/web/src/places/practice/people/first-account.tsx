import { useState } from "react";
import { ask, reportFrom } from "../../../api/client.ts";
import { useAct } from "../../../api/use-answer.ts";
import { Button } from "../../../parts/button.tsx";
import { Field } from "../../../parts/field.tsx";
import { Problem } from "../../../parts/problem.tsx";
import { words } from "../../../words/index.ts";
import css from "../practice.module.css";

const { people: say } = words.practice;

/** Turns a library of one person into one with accounts. What that means is said before. */
export function FirstAccount({ onDone }: { readonly onDone?: () => void }) {
  const [login, setLogin] = useState("");
  const [name, setName] = useState("");
  const [password, setPassword] = useState("");
  const make = useAct(() => ask("POST", "/people/accounts/first", { login, name, password }), {
    say: () => say.firstDone,
  });
  return (
    <form
      className={`${css.section} ${css.note}`}
      onSubmit={(event) => {
        event.preventDefault();
        make.mutate(undefined, {
          onSuccess: () => {
            setPassword("");
            onDone?.();
          },
        });
      }}
    >
      <h3>{say.firstTitle}</h3>
      <p>{say.firstSays}</p>
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
          hint={words.people.nextHint}
          maxLength={256}
          autoComplete="new-password"
        />
      </div>
      {make.error != null && <Problem report={reportFrom(make.error)} />}
      <p>
        <Button
          type="submit"
          isDisabled={make.isPending || login === "" || name.trim() === "" || password === ""}
        >
          {say.makeFirst}
        </Button>
      </p>
    </form>
  );
}
