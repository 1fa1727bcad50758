import type { Me, OwnSession } from "@samescale/server";
import { useState } from "react";
import { ask } from "../api/client.ts";
import { useAct, useAnswer } from "../api/use-answer.ts";
import { Answered } from "../parts/answered.tsx";
import { Button } from "../parts/button.tsx";
import { Dialog } from "../parts/dialog.tsx";
import { words } from "../words/index.ts";
import { ChangePassword } from "./change-password.tsx";
import css from "./own-account.module.css";

/** Who is signed in; behind it signing out, one's own password and sessions. */
export function OwnAccount({ me }: { readonly me: Me }) {
  const [isOpen, setOpen] = useState(false);
  if (!me.hasAccounts) return <p className="quiet">{me.name}</p>;
  return (
    <>
      <Button look="bare" onPress={() => setOpen(true)}>
        {me.name}
      </Button>
      <Dialog title={words.people.yourAccount} isOpen={isOpen} onClose={() => setOpen(false)}>
        <p>
          {me.name}, {me.role}
        </p>
        <p>
          <Button look="chief" onPress={() => void signOut()}>
            {words.people.signOut}
          </Button>
        </p>
        <ChangePassword login={me.login ?? ""} />
        <Sessions />
      </Dialog>
    </>
  );
}

/** The whole page is fetched anew: nothing of this person stays in it. */
async function signOut(): Promise<void> {
  await ask("POST", "/people/sign-out", {});
  location.assign("/");
}

function Sessions() {
  const sessions = useAnswer<OwnSession[]>("/people/me/sessions", ["session"]);
  const end = useAct((sessionId: string) => ask("POST", "/people/me/sessions/end", { sessionId }), {
    say: () => words.people.sessionEnded,
  });
  return (
    <section className={css.part}>
      <h3>{words.people.signedInAt}</h3>
      <Answered of={sessions}>
        {(list) => (
          <ul className={css.sessions}>
            {list.map(({ id, from, madeAt, isHere }) => {
              const since = madeAt.slice(0, 16).replace("T", " ");
              return (
                <li key={id}>
                  <span>
                    {isHere ? words.people.here : words.people.from(from)}, {words.people.since(since)} UTC
                  </span>
                  {!isHere && (
                    <Button
                      aria-label={words.people.endSessionOf(from, since)}
                      onPress={() => end.mutate(id)}
                    >
                      {words.people.endSession}
                    </Button>
                  )}
                </li>
              );
            })}
          </ul>
        )}
      </Answered>
    </section>
  );
}
