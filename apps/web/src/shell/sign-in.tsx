import type { Me } from "@samescale/server";
import { type FormEvent, useRef, useState } from "react";
import { ask, reportFrom } from "../api/client.ts";
import { Button } from "../parts/button.tsx";
import { Field } from "../parts/field.tsx";
import { Problem } from "../parts/problem.tsx";
import { words } from "../words/index.ts";
import css from "./sign-in.module.css";

/** Name and password. @param login who was signed in here */
export function SignInForm({
  login = "",
  onSignedIn,
}: {
  readonly login?: string;
  onSignedIn(me: Me): void;
}) {
  const [name, setName] = useState(login);
  const [password, setPassword] = useState("");
  const [thrown, setThrown] = useState<unknown>(null);
  const [isBusy, setBusy] = useState(false);
  const form = useRef<HTMLFormElement>(null);

  const send = async (event: FormEvent) => {
    event.preventDefault();
    if (isBusy) return;
    setBusy(true);
    setThrown(null);
    try {
      onSignedIn(await ask<Me>("POST", "/people/sign-in", { login: name, password }));
    } catch (refused) {
      setThrown(refused);
      setPassword("");
      form.current?.querySelector<HTMLInputElement>("input[type=password]")?.focus();
    } finally {
      setBusy(false);
    }
  };
  return (
    <form ref={form} className={css.form} onSubmit={(event) => void send(event)}>
      <Field
        label={words.people.login}
        value={name}
        onChange={setName}
        autoComplete="username"
        autoCapitalize="none"
        spellCheck="false"
        autoFocus={login === ""}
        isRequired
      />
      <Field
        label={words.people.password}
        type="password"
        value={password}
        onChange={setPassword}
        autoComplete="current-password"
        autoFocus={login !== ""}
        isRequired
      />
      {thrown !== null && <Problem report={reportFrom(thrown)} />}
      <Button type="submit" look="chief" isPending={isBusy}>
        {isBusy ? words.people.signingIn : words.people.signIn}
      </Button>
    </form>
  );
}
