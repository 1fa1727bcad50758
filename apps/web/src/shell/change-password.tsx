import { type FormEvent, useState } from "react";
import { ask } from "../api/client.ts";
import { useAct } from "../api/use-answer.ts";
import { Button } from "../parts/button.tsx";
import { Field } from "../parts/field.tsx";
import { words } from "../words/index.ts";
import css from "./own-account.module.css";

const EMPTY = { present: "", next: "", again: "" };

/** One's own password. The present one is asked: a screen left open is not enough. */
export function ChangePassword({ login }: { readonly login: string }) {
  const [typed, setTyped] = useState(EMPTY);
  const change = useAct(
    () => ask("PUT", "/people/me/password", { present: typed.present, password: typed.next }),
    { say: () => words.people.passwordChanged },
  );
  const isSame = typed.again === "" || typed.again === typed.next;
  const field = (name: keyof typeof EMPTY, autoComplete: string) => ({
    label: { present: words.people.present, next: words.people.next, again: words.people.nextAgain }[name],
    type: "password" as const,
    value: typed[name],
    onChange: (value: string) => setTyped({ ...typed, [name]: value }),
    autoComplete,
    isRequired: true,
  });
  const send = (event: FormEvent) => {
    event.preventDefault();
    if (!isSame || change.isPending) return;
    change.mutate(undefined, { onSuccess: () => setTyped(EMPTY) });
  };
  return (
    <form className={css.part} onSubmit={send}>
      <h3>{words.people.changePassword}</h3>
      {/* For the browser's keeper of passwords. */}
      <input type="text" autoComplete="username" value={login} readOnly hidden />
      <Field {...field("present", "current-password")} />
      <Field {...field("next", "new-password")} hint={words.people.nextHint} />
      <Field {...field("again", "new-password")} problem={isSame ? null : words.people.notTheSame} />
      <p>
        <Button type="submit" isPending={change.isPending}>
          {words.people.changePassword}
        </Button>
      </p>
    </form>
  );
}
