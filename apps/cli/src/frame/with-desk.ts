import { type Actor, type Desk, openDesk } from "@samescale/desk";
import type { JsonOption } from "./options.ts";
import { printable } from "./printable.ts";
import { thisPerson } from "./this-person.ts";

type Mode = "open" | "read";

/** Works over a library that is there, and closes it whatever happens. */
export async function withDesk<T>(
  library: string,
  work: (desk: Desk) => Promise<T>,
  mode: Mode = "open",
): Promise<T> {
  const desk = await openDesk(library, { mode });
  try {
    return await work(desk);
  } finally {
    await desk.close();
  }
}

/** The same, as whoever types. */
export const asThisPerson = <T>(
  { library }: { readonly library: string },
  mode: Mode,
  work: (desk: Desk, actor: Actor) => Promise<T>,
): Promise<T> => withDesk(library, async (desk) => work(desk, await thisPerson(desk)), mode);

/** A line for a person. */
export const say = (text: string): boolean => process.stdout.write(`${text}\n`);

/** The value as JSON, or what a person reads of it. */
export function sayAsAsked<T>({ json }: JsonOption, value: T, human: (value: T) => readonly string[]): void {
  const lines = json
    ? (Array.isArray(value) ? value : [value]).map((one) => JSON.stringify(one))
    : human(value).map(printable);
  process.stdout.write(lines.map((line) => `${line}\n`).join(""));
}
