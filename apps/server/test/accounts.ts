import assert from "node:assert/strict";
import { ROLES, type Role } from "@samescale/desk";
import type { App } from "./harness.ts";

export const PASSWORD = "one lamp two shadows";
/** As our own page asks. */
export const OWN_PAGE = { host: "127.0.0.1", "x-samescale": "1" };

/** Headers of somebody who has signed in. */
export type Signed = typeof OWN_PAGE & { readonly cookie: string };

export async function signIn(app: App, login: string, password = PASSWORD): Promise<Signed> {
  const payload = { login, password };
  const answer = await app.inject({
    method: "POST",
    url: "/api/people/sign-in",
    headers: OWN_PAGE,
    payload,
  });
  assert.equal(answer.statusCode, 200, answer.body);
  return { ...OWN_PAGE, cookie: cookieOf(answer.headers["set-cookie"]) };
}

/** `name=value` of the one cookie that was set. */
export function cookieOf(set: string | string[] | undefined): string {
  const [only] = [set ?? []].flat();
  return only?.split(";", 1)[0] ?? "";
}

/** One account for each role, named after it. @returns the headers of each, signed in */
export async function signInEveryRole(app: App): Promise<Readonly<Record<Role, Signed>>> {
  const post = async (url: string, headers: object, payload: object) => {
    const answer = await app.inject({ method: "POST", url, headers: { ...headers }, payload });
    assert.equal(answer.statusCode, 200, answer.body);
  };
  const first = { login: "administrator", name: "ADMINISTRATOR", password: PASSWORD };
  await post("/api/people/accounts/first", OWN_PAGE, first);
  const administrator = await signIn(app, "administrator");
  const others = ROLES.filter((role) => role !== "administrator");
  const signed: [Role, Signed][] = [["administrator", administrator]];
  for (const role of others) {
    const account = { login: role, name: role.toUpperCase(), role, password: PASSWORD };
    await post("/api/people/accounts", administrator, account);
    signed.push([role, await signIn(app, role)]);
  }
  return Object.fromEntries(signed) as Record<Role, Signed>;
}
