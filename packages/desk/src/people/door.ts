import type { Actor, Role } from "../act/actor.ts";
import { isPlainText } from "../act/checks.ts";
import type { Outcome } from "../act/outcome.ts";
import type { Desk } from "../desk.ts";
import { isWorthTelling, newBrake } from "./brake.ts";
import { hashPassword, isPassword, isTooCheap, PASSWORD_COST, type PasswordCost } from "./password.ts";
import { beginSession, endSession, hashOfToken, isToken, newToken, renewSession } from "./sessions.ts";
import { hasAccounts } from "./standing.ts";

/** Nobody touched anything for this long: whoever comes next signs in anew. In seconds. */
const IDLE_S = 1800;
/** A token is renewed after this time. */
const RENEWED_AFTER_MS = 3_600_000;
/** What was on its way with the old token when the new one was first used still counts, in seconds. */
const ON_ITS_WAY_S = 60;

export interface SigningIn {
  readonly login: string;
  readonly password: string;
  /** Where from: an address, or `this machine`. Guessing is slowed by place and name together. */
  readonly from: string;
}

export interface SignedIn {
  /** Only here, once: the library keeps its SHA-256. */
  readonly token: string;
  readonly until: string;
  readonly actor: Actor;
}

/** The one way in where there are accounts: what a server or a command asks who somebody is. */
export interface Door {
  signIn(who: SigningIn): Promise<Outcome<SignedIn>>;
  /**
   * Whose session it is, with the role that they have now; null: nobody's, over, ended, or too long untouched.
   * @param untouchedS how long ago its person last did something: what a page asks by itself keeps nobody signed in
   */
  sessionOf(token: string, untouchedS?: number): Promise<Actor | null>;
  /** Whether somebody still is who they were when they asked, without counting as a touch: for what stays open. */
  isStill(actor: Actor): Promise<boolean>;
  /** A new token for a session whose token is old; null: it is not. The old one counts until the new one was used. */
  renew(actor: Actor): Promise<string | null>;
  signOut(token: string): Promise<void>;
}

/** The same words for whatever was wrong: they do not tell who has an account. */
const NOT_RIGHT = "Name or password is not right";

export interface DoorOptions {
  /** Seconds of a clock that only runs forward. */
  readonly secondsNow?: () => number;
  readonly cost?: PasswordCost;
}

/** A door keeps in memory what must not flood the log: wrong tries, and when a session was last used. One per process. */
export function openDoor(desk: Desk, options: DoorOptions = {}): Door {
  const { library } = desk;
  const { cost = PASSWORD_COST, secondsNow = () => performance.now() / 1000 } = options;
  const brake = newBrake(secondsNow);
  const usedAtS = new Map<string, number>();
  /** Tokens that were renewed, by their hash, and until when they count; infinite: until the new one was used. */
  const renewed = new Map<string, { readonly sessionId: string; untilS: number }>();
  /** Sessions whose token is old. */
  const due = new Set<string>();

  async function signIn({ login: typed, password, from }: SigningIn): Promise<Outcome<SignedIn>> {
    const login = typed.trim().toLowerCase();
    const place = isPlainText(from) ? from.slice(0, 100) : "an unknown place";
    const key = JSON.stringify([login.slice(0, 100), place]);
    const waitS = brake.waitS(key);
    if (waitS > 0) {
      return { done: false, reason: `Too many wrong tries for this name from here: wait ${waitS} s` };
    }
    const count = brake.failed(key);
    const person = await personOf(desk, login);
    if (!(await isPassword(person?.password ?? null, password, cost)) || !person?.password) {
      // Names that nobody has count together, else trying ever new ones would never be told.
      const told = person ? count : brake.failed(JSON.stringify([null, place]));
      if (isWorthTelling(told)) await tellWrongTries(desk, person?.actor.personId ?? null, place, told);
      return { done: false, reason: NOT_RIGHT };
    }
    const failedBefore = brake.forget(key);
    const rehashed = isTooCheap(person.password, cost) ? await hashPassword(password, cost) : null;
    const token = newToken();
    const sessionId = hashOfToken(token);
    const proven = person.password;
    const session = { sessionId, from: place, failedBefore, proven, rehashed };
    const begun = await beginSession(desk, person.actor, session);
    if (!begun.done) return begun;
    usedAtS.set(sessionId, secondsNow());
    return {
      done: true,
      value: { token, until: begun.value.until, actor: { ...person.actor, sessionId } },
    };
  }

  async function sessionOf(token: string, untouchedS = 0): Promise<Actor | null> {
    if (!isToken(token)) return null;
    const hash = hashOfToken(token);
    const old = renewed.get(hash);
    const isOld = old !== undefined && secondsNow() < old.untilS;
    const actor = await standing(isOld ? { id: old.sessionId } : { hash });
    if (actor?.sessionId == null) return null;
    if (!isOld) nextWasUsed(actor.sessionId);
    const touchedS = secondsNow() - Math.max(0, untouchedS);
    usedAtS.set(actor.sessionId, Math.max(usedAtS.get(actor.sessionId) ?? touchedS, touchedS));
    return actor;
  }

  /** Whose session it is, and that it is not over; what is found to be over is ended. */
  async function standing(by: { readonly id: string } | { readonly hash: string }): Promise<Actor | null> {
    const row = await sessionRow(desk, by);
    if (row?.state !== "active" || row.revoked_at !== null) return null;
    const sessionId = row.session_id;
    const actor: Actor = { name: row.name, role: row.role as Role, personId: row.id, sessionId };
    const now = library.clock().toISOString();
    const usedS = usedAtS.get(sessionId) ?? secondsNow();
    const isIdle = secondsNow() - usedS >= IDLE_S;
    if (isIdle || row.expires_at <= now) {
      // Ended for good, so that a clock that jumps back does not bring it to life again.
      const because = isIdle ? "nobody used it for too long" : "its time was over";
      if (desk.isWritable) {
        await endSession(desk, actor, { sessionId, because });
        forget(sessionId);
      }
      return null;
    }
    // A clock that stands before the signing in cannot tell whether its time is over.
    if (now < row.made_at) return null;
    if (Date.parse(now) - Date.parse(row.renewed_at ?? row.made_at) >= RENEWED_AFTER_MS) due.add(sessionId);
    return actor;
  }

  async function isStill(actor: Actor): Promise<boolean> {
    if (actor.sessionId == null) return actor.personId == null && !(await hasAccounts(library.read));
    const now = await standing({ id: actor.sessionId });
    return now !== null && now.personId === actor.personId && now.role === actor.role;
  }

  async function renew(actor: Actor): Promise<string | null> {
    const { sessionId } = actor;
    if (sessionId == null || !desk.isWritable || !due.delete(sessionId)) return null;
    const row = await sessionRow(desk, { id: sessionId });
    if (row === undefined) return null;
    const token = newToken();
    const present = row.token ?? sessionId;
    const done = await renewSession(desk, actor, { present, next: hashOfToken(token) });
    if (!done.done) return null;
    renewed.set(present, { sessionId, untilS: Number.POSITIVE_INFINITY });
    return token;
  }

  function nextWasUsed(sessionId: string): void {
    for (const [hash, old] of renewed) {
      if (old.untilS <= secondsNow()) renewed.delete(hash);
      else if (old.sessionId === sessionId && old.untilS === Number.POSITIVE_INFINITY) {
        old.untilS = secondsNow() + ON_ITS_WAY_S;
      }
    }
  }

  function forget(sessionId: string): void {
    usedAtS.delete(sessionId);
    due.delete(sessionId);
    for (const [hash, old] of renewed) if (old.sessionId === sessionId) renewed.delete(hash);
  }

  async function signOut(token: string): Promise<void> {
    const actor = await sessionOf(token);
    if (actor?.sessionId == null) return;
    await endSession(desk, actor, { sessionId: actor.sessionId, because: "signed out" });
    forget(actor.sessionId);
  }

  return { signIn, sessionOf, isStill, renew, signOut };
}

const sessionRow = async ({ library }: Desk, by: { readonly id: string } | { readonly hash: string }) =>
  await library.read
    .selectFrom("session")
    .innerJoin("person", "person.id", "session.person_id")
    .select(["person.id", "person.name", "person.role", "person.state"])
    .select(["session.id as session_id", "session.token", "session.renewed_at"])
    .select(["session.made_at", "session.expires_at", "session.revoked_at"])
    .where((is) =>
      "id" in by
        ? is("session.id", "=", by.id)
        : is.or([
            is("session.token", "=", by.hash),
            is.and([is("session.token", "is", null), is("session.id", "=", by.hash)]),
          ]),
    )
    .executeTakeFirst();

/** Who has this name and has not left. The typed name is compared, never kept: it may be a password in the wrong field. */
async function personOf({ library }: Desk, login: string) {
  const row = await library.read
    .selectFrom("person")
    .select(["id", "name", "role", "password"])
    .where("login", "=", login)
    .where("state", "=", "active")
    .executeTakeFirst();
  if (!row) return null;
  const actor: Actor = { name: row.name, role: row.role as Role, personId: row.id };
  return { actor, password: row.password };
}

/** Nobody has signed in, so there is nobody whose act it is: the program's own entry. */
async function tellWrongTries(
  desk: Desk,
  personId: string | null,
  from: string,
  tries: number,
): Promise<void> {
  const subject = personId === null ? "person/unknown" : `person/${personId}`;
  await desk.library.write("samescale", async () => ({
    value: null,
    deed: { act: "session.refused", subject, details: { from, tries } },
  }));
}
