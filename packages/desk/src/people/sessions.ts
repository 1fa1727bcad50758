import { createHash, randomBytes } from "node:crypto";
import { ROLES } from "../act/actor.ts";
import { isPlainText } from "../act/checks.ts";
import { type ActContext, defineAct } from "../act/define-act.ts";

/** A working day and the handover after it; then everybody signs in anew. */
const SESSION_HOURS = 12;
const HOUR_MS = 3_600_000;

/** 256 random bits as base64url. Whoever holds it is signed in: it is written nowhere here. */
export const newToken = (): string => randomBytes(32).toString("base64url");

/** What is kept of a token; of its first one it is the session's id. Random as it is, it needs no salt. */
export const hashOfToken = (token: string): string => createHash("sha256").update(token).digest("hex");

export const isToken = (text: string): boolean => /^[A-Za-z0-9_-]{43}$/.test(text);

export interface SessionToBegin {
  readonly sessionId: string;
  /** Where from, as the face that asked names it. */
  readonly from: string;
  /** Wrong passwords for this account from there since the last right one. */
  readonly failedBefore: number;
  /** The hash that the password fitted: set anew meanwhile, it opens nothing. */
  readonly proven: string;
  /** The password hashed at today's cost, where the kept one was made with less work. */
  readonly rehashed: string | null;
}

/** Somebody signs in. What has run out meanwhile is ended with it, so that no clock brings it back. */
export const beginSession = defineAct<SessionToBegin, { readonly until: string }>({
  name: "session.begin",
  may: ROLES,
  consent: "nothing leaves",
  async run({ sessionId, from, failedBefore, proven, rehashed }, { writing, tables, actor, now }) {
    const person_id = actor.personId ?? "";
    const person = await tables
      .selectFrom("person")
      .select("password")
      .where("id", "=", person_id)
      .executeTakeFirst();
    if (person?.password !== proven)
      return { refused: "The password was set anew: sign in with the new one" };
    const over = await tables
      .selectFrom("session")
      .select("id")
      .where("expires_at", "<=", now)
      .where("revoked_at", "is", null)
      .execute();
    for (const { id } of over) {
      await writing.update("session", id, { revoked_at: now, revoked_because: "its time was over" });
    }
    const until = new Date(Date.parse(now) + SESSION_HOURS * HOUR_MS).toISOString();
    const open = { revoked_at: null, revoked_because: null, token: null, renewed_at: null };
    await writing.insert("session", { id: sessionId, person_id, made_at: now, expires_at: until, ...open });
    if (rehashed !== null) await writing.update("person", person_id, { password: rehashed });
    const details = { from, failedBefore, until };
    return { value: { until }, deed: { act: "session.begin", subject: `session/${sessionId}`, details } };
  },
});

/**
 * A session goes on under a new token, so that one that was copied long ago is worth nothing. Its id stays: what was begun
 * in it goes on.
 */
export const renewSession = defineAct<{ readonly present: string; readonly next: string }, null>({
  name: "session.renew",
  may: ROLES,
  consent: "nothing leaves",
  async run({ present, next }, { writing, tables, actor, now }) {
    const id = actor.sessionId ?? "";
    const session = await tables
      .selectFrom("session")
      .select(["token", "revoked_at"])
      .where("id", "=", id)
      .where("person_id", "=", actor.personId ?? "")
      .executeTakeFirst();
    if (session?.revoked_at !== null) return { refused: "There is no such session of yours" };
    if ((session.token ?? id) !== present) return { refused: "It was renewed already" };
    await writing.update("session", id, { token: next, renewed_at: now });
    return { value: null, deed: { act: "session.renew", subject: `session/${id}` } };
  },
});

/** Somebody signs out, or a session of theirs was found to be over. Doing it twice is doing it once. */
export const endSession = defineAct<{ readonly sessionId: string; readonly because: string }, null>({
  name: "session.end",
  may: ROLES,
  consent: "nothing leaves",
  async run({ sessionId, because }, { writing, tables, actor, now }) {
    const session = await tables
      .selectFrom("session")
      .select("revoked_at")
      .where("id", "=", sessionId)
      .where("person_id", "=", actor.personId ?? "")
      .executeTakeFirst();
    if (!session) return { refused: "There is no such session of yours" };
    if (session.revoked_at !== null) return { value: null, deed: null };
    await writing.update("session", sessionId, { revoked_at: now, revoked_because: because });
    const details = { because };
    return { value: null, deed: { act: "session.end", subject: `session/${sessionId}`, details } };
  },
});

export interface Revoking {
  /** Whose; an administrator ends anybody's, everybody their own. */
  readonly login: string;
  /** One of them; left out: all. */
  readonly sessionId?: string;
  readonly because: string;
}

/** Ends sessions at once: a lost laptop, a screen left open on a ward. */
export const revokeSessions = defineAct<Revoking, { readonly ended: number }>({
  name: "session.revoke",
  may: ROLES,
  consent: "nothing leaves",
  async run({ login, sessionId, because }, context) {
    const { tables, actor } = context;
    if (!isPlainText(because)) return { refused: "Ending somebody's sessions needs a reason" };
    const person = await tables
      .selectFrom("person")
      .select("id")
      .where("login", "=", login)
      .executeTakeFirst();
    const may = person?.id === actor.personId || actor.role === "administrator";
    if (!person || !may) return { refused: "There is no account of that name whose sessions you may end" };
    const ended = await endSessions(context, person.id, because, sessionId);
    const details = { because, ended };
    const deed = { act: "session.revoke", subject: `person/${person.id}`, details };
    return { value: { ended: ended.length }, deed: ended.length === 0 ? null : deed };
  },
});

/** Ends every open session of somebody, or one of them, within an act. @returns their ids */
export async function endSessions(
  { writing, tables, now }: ActContext,
  personId: string,
  because: string,
  only?: string,
): Promise<string[]> {
  let open = tables
    .selectFrom("session")
    .select("id")
    .where("person_id", "=", personId)
    .where("revoked_at", "is", null);
  if (only !== undefined) open = open.where("id", "=", only);
  const ids = (await open.execute()).map(({ id }) => id);
  for (const id of ids) {
    await writing.update("session", id, { revoked_at: now, revoked_because: because });
  }
  return ids;
}
