import { ROLES, type Role } from "../act/actor.ts";
import { isPlainText } from "../act/checks.ts";
import { faultOfPassword, hashPassword } from "./password.ts";

export interface NewAccount {
  /** What one signs in with: small letters, digits, dot, hyphen; never given to somebody else again. */
  readonly login: string;
  /** As the record names them. */
  readonly name: string;
  readonly role: Role;
  readonly password: string;
}

/** An account whose password is hashed: what comes near the tables. */
export interface PersonToWrite {
  readonly login: string;
  readonly name: string;
  readonly role: Role;
  readonly password: string;
}

/** Checks an account before it is made. The password is hashed here, outside of the transaction, as that takes its time. */
export async function newPerson(account: NewAccount): Promise<PersonToWrite | { readonly refused: string }> {
  const { login, name, role, password } = account;
  const fault =
    faultOfLogin(login) ?? faultOfName(name) ?? faultOfRole(role) ?? faultOfPassword(password, login);
  if (fault !== null) return { refused: fault };
  return { login, name, role, password: await hashPassword(password) };
}

const faultOfLogin = (login: string): string | null =>
  /^[a-z0-9][a-z0-9.-]{1,39}$/.test(login)
    ? null
    : "Expected a name to sign in with of 2 to 40 small letters, digits, dots and hyphens";

/** Square brackets set the account apart from the name in the log. */
export const faultOfName = (name: string): string | null =>
  isPlainText(name) && name.length <= 100 && !/[[\]]/.test(name)
    ? null
    : "Expected a name of plain text without square brackets, of at most 100 characters";

export const faultOfRole = (role: string): string | null =>
  (ROLES as readonly string[]).includes(role) ? null : `Expected one of the roles ${ROLES.join(", ")}`;
