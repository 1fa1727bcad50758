import assert from "node:assert/strict";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { type Desk, openDesk, openDoor, ROLES, type Role } from "@samescale/desk";
import type { Deps, ServerSettings } from "../src/index.ts";
import { type App, openApp } from "./harness.ts";

export const PASSWORD = "one lamp two shadows";
/** The password hashed with next to no work, so that tests are quick: they ask who may do what, not how long a guess takes. */
const CHEAP = { memoryKiB: 64, passes: 1, lanes: 1 };
const HASHED =
  "$argon2id$v=19$m=64,t=1,p=1$79hmVL1UKIc9qHOSc05/uw$GL45rDqbtQH8k3gvuqMuXbYhX2I6TMy9RgbIc0mlhhE";

/** As our own page asks. */
export const OWN_PAGE = { host: "127.0.0.1", "x-samescale": "1" };

/** Headers of somebody who has signed in. */
export type Signed = typeof OWN_PAGE & { readonly cookie: string };

export interface AppWithPeople {
  readonly app: App;
  readonly desk: Desk;
  /** Seconds of the clock by which sessions are idle. */
  readonly time: { seconds: number };
  signIn(login: string): Promise<Signed>;
}

/** A server over a library in which each role has an account, named after it. @param folder of a library; else an empty one */
export async function openAppWithPeople(
  change: Partial<Deps> = {},
  settings: Partial<ServerSettings> = {},
  folder?: string,
): Promise<AppWithPeople> {
  const own = await mkdtemp(join(tmpdir(), "samescale-people-"));
  const desk = await openDesk(folder ?? join(own, "library"));
  await addPeople(desk);
  const time = { seconds: 0 };
  const door = openDoor(desk, { cost: CHEAP, secondsNow: () => time.seconds });
  const app = await openApp({ desk, door, ...change }, settings);
  app.addHook("onClose", async () => {
    await desk.close();
    await rm(own, { recursive: true, force: true, maxRetries: 10, retryDelay: 100 });
  });
  let place = 0;
  // Each from a place of its own: signing in is bounded by address.
  return {
    app,
    desk,
    time,
    signIn: (login) => signIn(app, login, PASSWORD, `10.0.${place >> 8}.${place++ & 255}`),
  };
}

async function addPeople(desk: Desk): Promise<void> {
  const made_at = desk.library.clock().toISOString();
  for (const role of ROLES) {
    const id = desk.library.newId();
    await desk.library.write("test", async (writing) => {
      const rest = { password: HASHED, state: "active" as const, made_at };
      await writing.insert("person", { id, login: role, name: role.toUpperCase(), role, ...rest });
      return { value: null, deed: { act: "test.person", subject: `person/${id}` } };
    });
  }
}

export async function signIn(
  app: App,
  login: string,
  password = PASSWORD,
  remoteAddress = "127.0.0.1",
): Promise<Signed> {
  const payload = { login, password };
  const answer = await app.inject({
    method: "POST",
    url: "/api/people/sign-in",
    headers: OWN_PAGE,
    payload,
    remoteAddress,
  });
  assert.equal(answer.statusCode, 200, answer.body);
  return { ...OWN_PAGE, cookie: cookieOf(answer.headers["set-cookie"]) };
}

/** `name=value` of the one cookie that was set. */
export function cookieOf(set: string | string[] | undefined): string {
  const [only] = [set ?? []].flat();
  return only?.split(";", 1)[0] ?? "";
}

/** @returns the headers of each role, signed in */
export async function signInEveryRole({ signIn }: AppWithPeople): Promise<Readonly<Record<Role, Signed>>> {
  const signed: [Role, Signed][] = [];
  for (const role of ROLES) signed.push([role, await signIn(role)]);
  return Object.fromEntries(signed) as Record<Role, Signed>;
}
