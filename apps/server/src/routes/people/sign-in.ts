import { type Actor, hasAccounts, listOpenings, ownLogin, type Role } from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import { z } from "zod";
import type { Area, AreaDeps } from "../../deps.ts";
import { login, password } from "./fields.ts";

/** Who looks at the page. */
export interface Me {
  readonly name: string;
  readonly role: Role;
  /** What they sign in with; null: nobody signs in here. */
  readonly login: string | null;
  /** False: one person and one machine, nobody signs in. */
  readonly hasAccounts: boolean;
  readonly department: string;
  /** Everything here is invented. */
  readonly isDemonstration: boolean;
  /** Openings in an emergency that nobody has looked into yet; for those who look into them, else 0. */
  readonly openingsWaiting: number;
}

/** Guessing is slowed by the door for each name; this bounds the work that one address can cause. */
const SIGN_INS_PER_MINUTE = 30;

/** Who somebody is: asked, begun, ended. */
export const signInRoutes: Area = (app, deps) => {
  const { door, cookie } = deps;
  app.get(
    "/people/me",
    { config: { open: true } },
    async ({ actor }): Promise<Me | null> => (actor === null ? null : await meOf(deps, actor)),
  );

  const tight = { rateLimit: { max: SIGN_INS_PER_MINUTE, timeWindow: "1 minute" } };
  const body = z.object({ login, password });
  app.post(
    "/people/sign-in",
    { config: { open: true, ...tight }, schema: { body }, bodyLimit: 10_000 },
    async (request, reply): Promise<Me> => {
      const signedIn = await door.signIn({ ...request.body, from: request.ip });
      if (!signedIn.done) throw new SamescaleError("SIGN_IN_REFUSED", signedIn.reason, "Try again.");
      // This browser is one person's at a time, and nobody goes on with a token from before.
      const before = cookie.read(request);
      if (before !== null) await door.signOut(before);
      cookie.set(reply, signedIn.value.token);
      return await meOf(deps, signedIn.value.actor);
    },
  );

  app.post("/people/sign-out", { config: { open: true } }, async (request, reply) => {
    const token = cookie.read(request);
    if (token !== null) await door.signOut(token);
    cookie.clear(reply);
    return { signedOut: true };
  });
};

async function meOf({ desk, practice, isDemonstration }: AreaDeps, actor: Actor): Promise<Me> {
  const { department } = await practice();
  const isReviewer = actor.role === "lead" || actor.role === "auditor";
  return {
    name: actor.name,
    role: actor.role,
    login: await ownLogin(desk, actor),
    hasAccounts: await hasAccounts(desk.library.read),
    department,
    isDemonstration,
    openingsWaiting: isReviewer ? (await listOpenings(desk, actor, "unreviewed")).length : 0,
  };
}
