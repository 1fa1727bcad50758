import { ROLES } from "../act/actor.ts";
import { type Act, defineAct } from "../act/define-act.ts";
import { faultOfPassword, hashPassword, isPassword } from "./password.ts";
import { endSessions } from "./sessions.ts";
import { whyNotThem } from "./standing.ts";

export interface NewPassword {
  readonly login: string;
  readonly password: string;
  /** Their present one, for their own: a screen left open is not enough. */
  readonly present?: string;
}

const writePassword = defineAct<{ readonly login: string; readonly hashed: string }, null>({
  name: "account.password",
  may: ROLES,
  consent: "nothing leaves",
  async run({ login, hashed }, context) {
    const { tables, writing, actor } = context;
    const person = await tables
      .selectFrom("person")
      .select("id")
      .where("login", "=", login)
      .where("state", "=", "active")
      .executeTakeFirst();
    const isOwn = person?.id === actor.personId;
    if (!person || !(isOwn || actor.role === "administrator")) {
      return { refused: "There is no account of that name whose password you may set" };
    }
    await writing.update("person", person.id, { password: hashed });
    const sessions = await endSessions(context, person.id, "the password was set anew");
    const details = { by: isOwn ? "themselves" : "administrator", sessions };
    return { value: null, deed: { act: "account.password", subject: `person/${person.id}`, details } };
  },
});

/** Sets one's own password, or as an administrator somebody's who forgot theirs. Signs them out everywhere. */
export const setPassword: Act<NewPassword, null> = async (desk, actor, { login, password, present }) => {
  const fault = (await whyNotThem(desk.library.read, actor)) ?? faultOfPassword(password, login);
  if (fault !== null) return { done: false, reason: fault };
  const own = await desk.library.read
    .selectFrom("person")
    .select("password")
    .where("login", "=", login)
    .where("id", "=", actor.personId ?? "")
    .executeTakeFirst();
  if (own && !(await isPassword(own.password, present ?? ""))) {
    return { done: false, reason: "The present password is not right" };
  }
  return await writePassword(desk, actor, { login, hashed: await hashPassword(password) });
};
