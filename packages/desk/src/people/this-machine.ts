import { SamescaleError } from "@samescale/errors";
import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import { hasAccounts } from "./standing.ts";

/**
 * Who works at this machine in a library without accounts: one photographer with a laptop needs no password, as whoever
 * can open the folder has the pictures anyway. Asked anew each time: the first account ends it.
 * @param name as the machine knows them
 * @throws SamescaleError SIGN_IN_NEEDED as soon as the library has accounts
 */
export async function actorOfThisMachine(desk: Desk, name: string): Promise<Actor> {
  if (!(await hasAccounts(desk.library.read))) return { name, role: "photographer" };
  throw new SamescaleError(
    "SIGN_IN_NEEDED",
    "This library has accounts, and nobody is signed in",
    "Sign in: samescale people sign-in NAME --library LIBRARY.",
  );
}
