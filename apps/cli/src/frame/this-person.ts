import { userInfo } from "node:os";
import { type Actor, actorOfThisMachine, type Desk, openDoor } from "@samescale/desk";
import { keptToken } from "./session-file.ts";

/** For a job that runs by itself: the token of a session. */
const SESSION = "SAMESCALE_SESSION";

/**
 * Who types: whoever signed in to this library on this machine; in a library without accounts the photographer.
 * @throws SamescaleError SIGN_IN_NEEDED
 */
export async function thisPerson(desk: Desk): Promise<Actor> {
  const token = await tokenInUse(desk);
  const actor = token === null ? null : await openDoor(desk).sessionOf(token);
  return actor ?? (await actorOfThisMachine(desk, userInfo().username));
}

/** The token that is used, wherever it is from; null: none. */
export const tokenInUse = async (desk: Desk): Promise<string | null> =>
  process.env[SESSION]?.trim() || (await keptToken(desk.library.folder));
