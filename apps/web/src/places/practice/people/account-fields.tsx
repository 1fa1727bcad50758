import { Field } from "../../../parts/field.tsx";
import { words } from "../../../words/index.ts";

const { people: say } = words.practice;

/** What an account begins with. */
export interface AccountDraft {
  readonly name: string;
  readonly login: string;
  readonly password: string;
}

export const NO_ACCOUNT: AccountDraft = { name: "", login: "", password: "" };

export function AccountFields({
  draft,
  onChange,
  passwordHint,
}: {
  readonly draft: AccountDraft;
  readonly onChange: (draft: AccountDraft) => void;
  readonly passwordHint: string;
}) {
  return (
    <>
      <Field
        label={say.name}
        value={draft.name}
        onChange={(name) => onChange({ ...draft, name })}
        hint={say.nameHint}
        maxLength={100}
        autoComplete="off"
      />
      <Field
        label={say.login}
        value={draft.login}
        onChange={(login) => onChange({ ...draft, login })}
        hint={say.loginHint}
        maxLength={40}
        autoComplete="off"
      />
      <Field
        label={say.password}
        type="password"
        value={draft.password}
        onChange={(password) => onChange({ ...draft, password })}
        hint={passwordHint}
        maxLength={256}
        autoComplete="new-password"
      />
    </>
  );
}
