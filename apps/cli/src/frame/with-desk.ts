import { type Desk, openDesk } from "@samescale/desk";

/** Works over a library that is there, and closes it whatever happens. */
export async function withDesk(library: string, work: (desk: Desk) => Promise<void>): Promise<void> {
  const desk = await openDesk(library, { mode: "open" });
  try {
    await work(desk);
  } finally {
    await desk.close();
  }
}

/** A line for a person. */
export const say = (text: string): boolean => process.stdout.write(`${text}\n`);
