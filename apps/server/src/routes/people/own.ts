import {
  type Actor,
  type Desk,
  doneOrThrow,
  type ListedSession,
  listSessions,
  ownLogin,
  ROLES,
  revokeSessions,
  setPassword,
} from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import { z } from "zod";
import type { Area } from "../../deps.ts";
import { who } from "../../identity/who.ts";
import { password } from "./fields.ts";

/** Where somebody is signed in. */
export interface OwnSession extends ListedSession {
  /** This browser. */
  readonly isHere: boolean;
}

const config = { may: ROLES };

/** One's own password and sessions. */
export const ownRoutes: Area = (app, { desk, door, cookie }) => {
  const body = z.object({ present: password, password });
  app.put("/people/me/password", { config, schema: { body }, bodyLimit: 10_000 }, async (request, reply) => {
    const login = await loginOf(desk, who(request));
    doneOrThrow(await setPassword(desk, who(request), { login, ...request.body }));
    // Everybody signed in as them is signed out: whoever set it goes on here, with a new token.
    const again = await door.signIn({ login, password: request.body.password, from: request.ip });
    cookie.set(reply, doneOrThrow(again).token);
    return { changed: true };
  });

  app.get("/people/me/sessions", { config }, async (request): Promise<OwnSession[]> => {
    const actor = who(request);
    const sessions = await listSessions(desk, actor, (await ownLogin(desk, actor)) ?? "");
    return sessions.map((session) => ({ ...session, isHere: session.id === actor.sessionId }));
  });

  const which = z.object({ sessionId: z.string().regex(/^[0-9a-f]{64}$/) });
  app.post("/people/me/sessions/end", { config, schema: { body: which } }, async (request) => {
    const actor = who(request);
    const { sessionId } = request.body;
    const revoking = { login: await loginOf(desk, actor), sessionId, because: "ended by themselves" };
    return doneOrThrow(await revokeSessions(desk, actor, revoking));
  });
};

async function loginOf(desk: Desk, actor: Actor): Promise<string> {
  const login = await ownLogin(desk, actor);
  if (login !== null) return login;
  throw new SamescaleError(
    "NO_ACCOUNTS",
    "This library has no accounts: nobody signs in",
    "Make the first account under Practice, People.",
  );
}
