import type { Role } from "../act/actor.ts";
import { isPlainText } from "../act/checks.ts";
import { type Act, type ActContext, defineAct } from "../act/define-act.ts";
import { faultOfName, faultOfRole, type NewAccount, newPerson, type PersonToWrite } from "./new-person.ts";
import { endSessions } from "./sessions.ts";
import { whyNotThem } from "./standing.ts";

const ADMINISTRATORS: readonly Role[] = ["administrator"];

const writeAccount = defineAct<PersonToWrite, { readonly id: string }>({
  name: "account.add",
  may: ADMINISTRATORS,
  consent: "nothing leaves",
  async run(person, { writing, tables, now, newId }) {
    const { login, name, role } = person;
    const known = await tables
      .selectFrom("person")
      .select("id")
      .where("login", "=", login)
      .executeTakeFirst();
    if (known) return { refused: `${login} is the name of an account already, or was one: choose another` };
    const id = newId();
    await writing.insert("person", { id, ...person, state: "active", made_at: now });
    return {
      value: { id },
      deed: { act: "account.add", subject: `person/${id}`, details: { login, name, role } },
    };
  },
});

/** A new account, with a password that its person changes at the first chance. */
export const addAccount: Act<NewAccount, { readonly id: string }> = async (desk, actor, account) => {
  const stranger = await whyNotThem(desk.library.read, actor); // no hashing for those who made themselves up
  if (stranger !== null) return { done: false, reason: stranger };
  const person = await newPerson(account);
  return "refused" in person ? { done: false, reason: person.refused } : writeAccount(desk, actor, person);
};

export interface AccountChange {
  readonly login: string;
  readonly name?: string;
  readonly role?: Role;
  readonly because: string;
}

/** A name or a role changes: what was done before keeps the old ones, and everybody of that account signs in anew. */
export const changeAccount = defineAct<AccountChange, null>({
  name: "account.change",
  may: ADMINISTRATORS,
  consent: "nothing leaves",
  async run({ login, name, role, because }, context) {
    if (!isPlainText(because)) return { refused: "Changing an account needs a reason" };
    const fault =
      (name === undefined ? null : faultOfName(name)) ?? (role === undefined ? null : faultOfRole(role));
    if (fault !== null) return { refused: fault };
    const person = await activePerson(context, login);
    if (typeof person === "string") return { refused: person };
    if (role !== undefined && person.id === context.actor.personId) {
      return { refused: "Nobody changes their own role: another administrator does" };
    }
    const after = { name: name ?? person.name, role: role ?? person.role };
    await context.writing.update("person", person.id, after);
    await endSessions(context, person.id, "the account was changed");
    const before = { name: person.name, role: person.role };
    const details = { before, after, because };
    return { value: null, deed: { act: "account.change", subject: `person/${person.id}`, details } };
  },
});

export interface Leaving {
  readonly login: string;
  readonly because: string;
}

/**
 * Somebody left: signed out everywhere, the password gone, the name on record for good. Nobody gets their sign-in name
 * again, and the last administrator cannot leave.
 */
export const endAccount = defineAct<Leaving, null>({
  name: "account.end",
  may: ADMINISTRATORS,
  consent: "nothing leaves",
  async run({ login, because }, context) {
    if (!isPlainText(because)) return { refused: "Ending an account needs a reason" };
    const person = await activePerson(context, login);
    if (typeof person === "string") return { refused: person };
    if (person.role === "administrator" && (await activeAdministrators(context)) < 2) {
      return { refused: "The last administrator cannot leave: add another one first" };
    }
    await context.writing.update("person", person.id, { state: "left", password: null });
    const sessions = await endSessions(context, person.id, "the account was ended");
    const details = { because, sessions };
    return { value: null, deed: { act: "account.end", subject: `person/${person.id}`, details } };
  },
});

/** Active accounts have a sign-in name; who left keeps theirs, and is told apart. */
async function activePerson({ tables }: ActContext, login: string) {
  const person = await tables
    .selectFrom("person")
    .select(["id", "name", "role", "state"])
    .where("login", "=", login)
    .executeTakeFirst();
  if (!person) return "There is no account of that name";
  return person.state === "active" ? person : "That account was ended";
}

async function activeAdministrators({ tables }: ActContext): Promise<number> {
  const rows = await tables
    .selectFrom("person")
    .select("id")
    .where("role", "=", "administrator")
    .where("state", "=", "active")
    .execute();
  return rows.length;
}
