import type { Me } from "@samescale/server";
import { type QueryClient, useQuery, useQueryClient } from "@tanstack/react-query";
import { createContext, type ReactNode, use, useEffect, useRef } from "react";
import { Heading, Modal, ModalOverlay, Dialog as Spoken } from "react-aria-components";
import { ask, reportFrom } from "../api/client.ts";
import { goOn, useIsSignedOut } from "../api/session.ts";
import icon from "../icon.svg";
import { Problem } from "../parts/problem.tsx";
import { words } from "../words/index.ts";
import css from "./sign-in.module.css";
import { SignInForm } from "./sign-in.tsx";

const ME = ["/people/me"];
const askMe = ({ signal }: { readonly signal: AbortSignal }) =>
  ask<Me | null>("GET", "/people/me", undefined, signal);

/** Asks who is there before anything is drawn: the place is on its way meanwhile. */
export const beginSession = (client: QueryClient): Promise<void> =>
  client.prefetchQuery({ queryKey: ME, queryFn: askMe });

const Person = createContext<Me | null>(null);

/** Who works here; also while they have to sign in again. */
export function useMe(): Me {
  return use(Person)!;
}

/** While the server does not answer at the beginning, it is asked again after this time. */
const AGAIN_MS = 3000;

/**
 * Who is there. In a library with accounts nothing is shown before somebody signed in; when their session ends in the
 * middle of the work, they sign in over it, and the place below stays as it is.
 */
export function Session({ children }: { readonly children: ReactNode }) {
  const client = useQueryClient();
  const isSignedOut = useIsSignedOut();
  const person = useRef<Me>(null);
  const me = useQuery<Me | null>({
    queryKey: ME,
    queryFn: askMe,
    meta: { topics: ["session", "account", "access"] },
    retry: false,
    refetchInterval: ({ state }) => (state.data === undefined && state.error ? AGAIN_MS : false),
  });
  const now = me.data ?? null;
  const isAnother = now !== null && person.current !== null && now.login !== person.current.login;
  // In another tab somebody else signed in: nothing of the one before stays in this one.
  useEffect(() => {
    if (isAnother) location.assign("/");
  }, [isAnother]);
  if (isAnother) return null;
  if (now !== null) person.current = now;

  const onSignedIn = (signed: Me) => {
    if (person.current !== null && signed.login !== person.current.login) {
      location.assign("/");
      return;
    }
    client.setQueryData(ME, signed);
    goOn();
    void client.invalidateQueries();
  };
  if (person.current === null) {
    if (me.data === undefined)
      return me.error ? (
        <main className={css.page}>
          <img className={css.mark} src={icon} alt="" />
          <h1>{words.shell.application}</h1>
          <Problem report={reportFrom(me.error)} again={() => void me.refetch()} />
        </main>
      ) : null;
    return <SignInPage onSignedIn={onSignedIn} />;
  }
  return (
    <Person value={person.current}>
      {children}
      <SignInOver person={person.current} isOpen={isSignedOut || now === null} onSignedIn={onSignedIn} />
    </Person>
  );
}

function SignInPage({ onSignedIn }: { onSignedIn(me: Me): void }) {
  useEffect(() => {
    document.title = `${words.people.signIn} · ${words.shell.application}`;
  }, []);
  return (
    <main className={css.page}>
      <img className={css.mark} src={icon} alt="" />
      <h1>{words.shell.application}</h1>
      <SignInForm onSignedIn={onSignedIn} />
    </main>
  );
}

/** Over the place and over every dialog of it. */
function SignInOver({
  person,
  isOpen,
  onSignedIn,
}: {
  readonly person: Me;
  readonly isOpen: boolean;
  onSignedIn(me: Me): void;
}) {
  return (
    <ModalOverlay className={css.cover ?? ""} isOpen={isOpen} isKeyboardDismissDisabled>
      <Modal>
        <Spoken className={css.page ?? ""}>
          <Heading slot="title" level={2}>
            {words.people.again}
          </Heading>
          <p>{words.people.againHelp(person.name)}</p>
          <SignInForm login={person.login ?? ""} onSignedIn={onSignedIn} />
          <p className="quiet">{words.people.another}</p>
        </Spoken>
      </Modal>
    </ModalOverlay>
  );
}
