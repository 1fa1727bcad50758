import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";

export interface ListedSession {
  readonly id: string;
  readonly madeAt: string;
  readonly expiresAt: string;
  /** Where it was begun, as the log has it: an address, or `this machine`. */
  readonly from: string;
}

/**
 * The open sessions of an account, the newest first: one's own, or as an administrator anybody's. Somebody else's are
 * answered like those of nobody.
 */
export async function listSessions(
  { library }: Desk,
  actor: Actor,
  login: string,
): Promise<readonly ListedSession[]> {
  const now = library.clock().toISOString();
  let open = library.read
    .selectFrom("session")
    .innerJoin("person", "person.id", "session.person_id")
    .select(["session.id", "session.made_at", "session.expires_at"])
    .where("person.login", "=", login)
    .where("session.revoked_at", "is", null)
    .where("session.expires_at", ">", now)
    .orderBy("session.made_at", "desc");
  if (actor.role !== "administrator") open = open.where("person.id", "=", actor.personId ?? "");
  const rows = await open.execute();
  const begun = await library.read
    .selectFrom("act")
    .select(["subject", "details"])
    .where("act", "=", "session.begin")
    .where(
      "subject",
      "in",
      rows.map(({ id }) => `session/${id}`),
    )
    .execute();
  const fromOf = new Map(begun.map(({ subject, details }) => [subject, JSON.parse(details) as Begun]));
  return rows.map(({ id, made_at, expires_at }) => ({
    ...{ id, madeAt: made_at, expiresAt: expires_at },
    from: fromOf.get(`session/${id}`)?.from ?? "",
  }));
}

interface Begun {
  readonly from: string;
}
