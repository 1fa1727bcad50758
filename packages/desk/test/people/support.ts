import { join } from "node:path";
import type { TestContext } from "node:test";
import type { Actor, Role } from "../../src/act/actor.ts";
import { doneOrThrow } from "../../src/act/outcome.ts";
import { type Desk, openDesk } from "../../src/desk.ts";
import { NOON, temporaryFolder } from "../support.ts";

/** A clock that a test sets, and seconds that only run forward. */
export interface Time {
  at: Date;
  seconds: number;
}

export async function deskInTime(t: TestContext): Promise<{ desk: Desk; time: Time }> {
  const time: Time = { at: NOON, seconds: 0 };
  const desk = await openDesk(join(await temporaryFolder(t), "library"), { clock: () => time.at });
  t.after(() => desk.close());
  return { desk, time };
}

/** Cheap, so that tests are quick: what is asked is who may sign in, not how long a guess takes. */
export const CHEAP = { memoryKiB: 64, passes: 1, lanes: 1 };
export const PASSWORD = "one lamp two shadows";

/** An account without the work of hashing; its password is null unless given as hashed. */
export async function addPerson(
  desk: Desk,
  login: string,
  role: Role,
  password: string | null = null,
): Promise<Actor & { readonly personId: string }> {
  const id = desk.library.newId();
  const made_at = desk.library.clock().toISOString();
  await desk.library.write("test", async (writing) => {
    const row = { id, login, name: login.toUpperCase(), role, password, state: "active" as const, made_at };
    await writing.insert("person", row);
    return { value: null, deed: { act: "test.person", subject: `person/${id}` } };
  });
  return { name: login.toUpperCase(), role, personId: id };
}

/** What the log tells, oldest first. */
export const logOf = async (desk: Desk) =>
  await desk.library.read.selectFrom("act").selectAll().orderBy("sequence").execute();

export const reasonOf = (outcome: { done: boolean; reason?: string }): string =>
  outcome.done ? "done" : (outcome.reason ?? "");

export { doneOrThrow };
