import type { ListedPerson } from "@samescale/server";
import { useState } from "react";
import { ask } from "../../../api/client.ts";
import { useAct } from "../../../api/use-answer.ts";
import { Button } from "../../../parts/button.tsx";
import { Dialog } from "../../../parts/dialog.tsx";
import { Field } from "../../../parts/field.tsx";
import { words } from "../../../words/index.ts";
import css from "../practice.module.css";
import { ChooseRole } from "./choose-role.tsx";

const { people: say, save } = words.practice;

/** What an administrator does with somebody's account. */
export function ChangeAccount({
  person,
  onClose,
}: {
  readonly person: ListedPerson;
  readonly onClose: () => void;
}) {
  const [name, setName] = useState(person.name);
  const [role, setRole] = useState(person.role);
  const [because, setBecause] = useState("");
  const [password, setPassword] = useState("");
  const path = `/people/accounts/${encodeURIComponent(person.login)}`;
  const ends = { onSuccess: onClose };
  const change = useAct(
    () =>
      ask("PATCH", path, {
        ...(name !== person.name && { name }),
        ...(role !== person.role && { role }),
        because,
      }),
    { say: () => say.changed },
  );
  const setNew = useAct(() => ask("PUT", `${path}/password`, { password }), { say: () => say.passwordSet });
  const endSessions = useAct(() => ask("POST", `${path}/sessions/end`, { because }), {
    say: () => say.sessionsEnded,
  });
  const end = useAct(() => ask("POST", `${path}/end`, { because }), { say: () => say.ended });
  const hasReason = because.trim() !== "";
  return (
    <Dialog title={say.changeOf(person.name)} isOpen onClose={onClose}>
      <div className={css.form}>
        <Field label={say.name} value={name} onChange={setName} maxLength={100} />
        <ChooseRole role={role} onChange={setRole} />
        <div className={css.wide}>
          <Field
            label={say.because}
            value={because}
            onChange={setBecause}
            hint={say.becauseHint}
            maxLength={500}
          />
        </div>
      </div>
      <p className={css.row}>
        <Button
          look="chief"
          isDisabled={!hasReason || (name === person.name && role === person.role)}
          onPress={() => change.mutate(undefined, ends)}
        >
          {save}
        </Button>
        <Button isDisabled={!hasReason} onPress={() => endSessions.mutate(undefined, ends)}>
          {say.endSessions}
        </Button>
      </p>
      <section className={css.section}>
        <h3>{say.newPassword}</h3>
        <p className={css.small}>{say.newPasswordSays}</p>
        <Field
          label={say.password}
          type="password"
          value={password}
          onChange={setPassword}
          hint={say.passwordHint}
          maxLength={256}
          autoComplete="new-password"
        />
        <p>
          <Button isDisabled={password === ""} onPress={() => setNew.mutate(undefined, ends)}>
            {say.newPassword}
          </Button>
        </p>
      </section>
      <section className={css.section}>
        <h3>{say.end}</h3>
        <p className={css.small}>{say.endSays}</p>
        <p>
          <Button isDisabled={!hasReason} onPress={() => end.mutate(undefined, ends)}>
            {say.end}
          </Button>
        </p>
      </section>
    </Dialog>
  );
}
