import type { Actor, Role } from "../act/actor.ts";
import type { Desk } from "../desk.ts";

export interface ListedPerson {
  readonly login: string;
  readonly name: string;
  readonly role: Role;
  readonly state: "active" | "left";
  readonly openSessions: number;
}

/** Who looks after people, who answers for them, and who checks. */
const LISTERS: readonly Role[] = ["administrator", "lead", "auditor"];

/** Everybody who has or had an account, by sign-in name; oneself only, for those who do not look after people. */
export async function listPeople({ library }: Desk, actor: Actor): Promise<readonly ListedPerson[]> {
  const now = library.clock().toISOString();
  const people = library.read
    .selectFrom("person")
    .select(["person.login", "person.name", "person.role", "person.state"])
    .select((is) =>
      is
        .selectFrom("session")
        .select((count) => count.fn.countAll<number>().as("open"))
        .whereRef("session.person_id", "=", "person.id")
        .where("session.revoked_at", "is", null)
        .where("session.expires_at", ">", now)
        .as("open"),
    )
    .orderBy("person.login");
  const seen = LISTERS.includes(actor.role) ? people : people.where("person.id", "=", actor.personId ?? "");
  return (await seen.execute()).map(({ login, name, role, state, open }) => ({
    ...{ login, name, role: role as Role, state },
    openSessions: Number(open ?? 0),
  }));
}

/** One's own name to sign in with; null: in a library without accounts. */
export async function ownLogin({ library }: Desk, { personId }: Actor): Promise<string | null> {
  if (personId == null) return null;
  const own = await library.read
    .selectFrom("person")
    .select("login")
    .where("id", "=", personId)
    .executeTakeFirst();
  return own?.login ?? null;
}
