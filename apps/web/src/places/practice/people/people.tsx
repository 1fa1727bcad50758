import type { ListedPerson } from "@samescale/server";
import { useState } from "react";
import { useAnswer } from "../../../api/use-answer.ts";
import { Answered } from "../../../parts/answered.tsx";
import { Button } from "../../../parts/button.tsx";
import { useMe } from "../../../shell/session.tsx";
import { words } from "../../../words/index.ts";
import css from "../practice.module.css";
import { PracticePage } from "../practice-page.tsx";
import { AddAccount } from "./add-account.tsx";
import { ChangeAccount } from "./change-account.tsx";
import { FirstAccount } from "./first-account.tsx";
import { Openings } from "./openings.tsx";
import { Rights } from "./rights.tsx";

const { people: say } = words.practice;

/** Who works here, in which role, and what each role may. */
export function People() {
  const { hasAccounts, role } = useMe();
  const lists = ["administrator", "lead", "auditor"].includes(role);
  return (
    <PracticePage here="people">
      {!hasAccounts && (
        <section className={css.section}>
          <h2>{say.alone}</h2>
          <p className={css.text}>{say.aloneSays}</p>
          <FirstAccount />
        </section>
      )}
      {hasAccounts &&
        (lists ? (
          <Accounts mayChange={role === "administrator"} />
        ) : (
          <p className={css.text}>{say.accountsFor}</p>
        ))}
      {hasAccounts && (role === "lead" || role === "auditor") && <Openings />}
      <Rights />
    </PracticePage>
  );
}

function Accounts({ mayChange }: { readonly mayChange: boolean }) {
  const people = useAnswer<readonly ListedPerson[]>("/people/accounts", ["account", "session"]);
  const [isAdding, setAdding] = useState(false);
  const [changing, setChanging] = useState<ListedPerson | null>(null);
  return (
    <section className={css.section}>
      <h2>{say.accounts}</h2>
      <Answered of={people}>
        {(list) => (
          <ul className={css.lines}>
            {list.map((person) => (
              <li key={person.login} className={css.line}>
                <span>
                  <span className={css.strong}>{person.name}</span>
                  <br />
                  <span className={css.small}>{person.login}</span>
                </span>
                <span className={css.small}>
                  {say.roles[person.role][0]}
                  {" · "}
                  {person.state === "left" ? say.left : say.sessions(person.openSessions)}
                </span>
                {mayChange && person.state === "active" ? (
                  <Button onPress={() => setChanging(person)} aria-label={say.changeOf(person.name)}>
                    {say.change}
                  </Button>
                ) : (
                  <span />
                )}
              </li>
            ))}
          </ul>
        )}
      </Answered>
      {mayChange && (
        <p>
          <Button look="chief" onPress={() => setAdding(true)}>
            {say.add}
          </Button>
        </p>
      )}
      {isAdding && <AddAccount onClose={() => setAdding(false)} />}
      {changing && <ChangeAccount key={changing.login} person={changing} onClose={() => setChanging(null)} />}
    </section>
  );
}
