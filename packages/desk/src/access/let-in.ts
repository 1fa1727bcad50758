import { PHOTOGRAPHERS } from "../act/actor.ts";
import { isPlainText } from "../act/checks.ts";
import { defineAct } from "../act/define-act.ts";
import { maySeeRequest } from "./seeing.ts";

export interface LettingIn {
  readonly requestId: string;
  /** Sign-in names of all who shall see it besides those whose work it is; none: nobody. */
  readonly logins: readonly string[];
  readonly because: string;
}

/** Names the persons who see a request although it is sensitive, or though it is not theirs. */
export const letIn = defineAct<LettingIn, null>({
  name: "access.let-in",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run({ requestId, logins, because }, { writing, tables, actor, now }) {
    if (!isPlainText(because)) return { refused: "Letting somebody in, or out again, needs a reason" };
    if (!(await maySeeRequest(tables, actor, requestId, now))) {
      return { refused: `There is no request ${requestId}` };
    }
    const after: string[] = [];
    for (const login of new Set(logins)) {
      const person = await tables
        .selectFrom("person")
        .select("id")
        .where("login", "=", login)
        .where("state", "=", "active")
        .executeTakeFirst();
      if (!person) return { refused: `There is no account ${JSON.stringify(login)}` };
      after.push(person.id);
    }
    const { access } = await tables
      .selectFrom("request")
      .select("access")
      .where("id", "=", requestId)
      .executeTakeFirstOrThrow();
    await writing.update("request", requestId, { access: after.length === 0 ? null : JSON.stringify(after) });
    const before = access === null ? [] : (JSON.parse(access) as string[]);
    const details = { before, after, because };
    return { value: null, deed: { act: "access.let-in", subject: `request/${requestId}`, details } };
  },
});
