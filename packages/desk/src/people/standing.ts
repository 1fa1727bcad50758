import type { Tables } from "../access/seeing.ts";
import type { Actor } from "../act/actor.ts";

/** Whether the library has accounts: then nobody does anything without one. */
export async function hasAccounts(tables: Tables): Promise<boolean> {
  return (await tables.selectFrom("person").select("id").limit(1).executeTakeFirst()) !== undefined;
}

/**
 * Why somebody is not who they say they are: asked in the transaction of every act, so that an account that was ended, a
 * role that was taken away and a session that was revoked count from that moment on. Null: they are, or the library has
 * no accounts.
 */
export async function whyNotThem(tables: Tables, actor: Actor): Promise<string | null> {
  if (!(await hasAccounts(tables))) return null;
  if (actor.personId == null) return "This library has accounts: sign in first";
  const person = await tables
    .selectFrom("person")
    .select(["name", "role", "state"])
    .where("id", "=", actor.personId)
    .executeTakeFirst();
  const isThem = person?.state === "active" && person.role === actor.role && person.name === actor.name;
  if (!isThem) return "The account has changed or was ended: sign in again";
  if (actor.sessionId == null) return null;
  const session = await tables
    .selectFrom("session")
    .select("revoked_at")
    .where("id", "=", actor.sessionId)
    .where("person_id", "=", actor.personId)
    .executeTakeFirst();
  return session?.revoked_at === null ? null : "Signed out: sign in again";
}
