import type { Desk } from "../desk.ts";

/** Whether nothing was done in a library yet: nobody was photographed, nothing was asked for, nobody has an account. */
export async function isEmptyLibrary({ library }: Desk): Promise<boolean> {
  for (const table of ["request", "patient", "frame", "intake", "person"] as const) {
    const row = await library.read.selectFrom(table).select("id").limit(1).executeTakeFirst();
    if (row !== undefined) return false;
  }
  return true;
}

/** How much there is: what somebody should know before all of it goes. */
export async function sizeOfLibrary({ library }: Desk) {
  const count = async (table: "request" | "patient" | "frame") => {
    const { n } = await library.read
      .selectFrom(table)
      .select((of) => of.fn.countAll<number>().as("n"))
      .executeTakeFirstOrThrow();
    return Number(n);
  };
  return { requests: await count("request"), patients: await count("patient"), frames: await count("frame") };
}
