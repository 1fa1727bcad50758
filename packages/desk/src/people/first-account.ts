import { PHOTOGRAPHERS } from "../act/actor.ts";
import { type Act, defineAct } from "../act/define-act.ts";
import { type NewAccount, newPerson, type PersonToWrite } from "./new-person.ts";
import { hasAccounts } from "./standing.ts";

const writeFirst = defineAct<PersonToWrite, { readonly id: string }>({
  name: "account.first",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run(person, { writing, tables, now, newId }) {
    if (await hasAccounts(tables))
      return { refused: "The library has accounts: its administrator adds more" };
    const id = newId();
    await writing.insert("person", { id, ...person, state: "active", made_at: now });
    const details = { login: person.login, name: person.name, role: person.role };
    return { value: { id }, deed: { act: "account.first", subject: `person/${id}`, details } };
  },
});

/** Ends the time without accounts: from now on everybody signs in. The first one looks after the others. */
export const addFirstAccount: Act<Omit<NewAccount, "role">, { readonly id: string }> = async (
  desk,
  actor,
  account,
) => {
  const person = await newPerson({ ...account, role: "administrator" });
  return "refused" in person ? { done: false, reason: person.refused } : writeFirst(desk, actor, person);
};
