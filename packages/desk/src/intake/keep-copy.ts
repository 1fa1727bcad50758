import { PHOTOGRAPHERS } from "../act/actor.ts";
import { type ActContext, defineAct } from "../act/define-act.ts";

/** Tells of a second copy of a file that was in the library before. */
export const keepCopy = defineAct<{ readonly sha256: string; readonly place: string }, null>({
  name: "copy.store",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run({ sha256, place }, context) {
    const wrote = await writeCopy(context, sha256, place);
    const deed = { act: "copy.store", subject: `file/${sha256}`, details: { place } };
    return { value: null, deed: wrote ? deed : null };
  },
});

/** Writes the row of a copy that was read back and compared just now, unless there is one. True when it wrote. */
export async function writeCopy(context: ActContext, sha256: string, place: string): Promise<boolean> {
  const { writing, tables, newId, now } = context;
  if (await hasCopy(tables, sha256, place)) return false;
  const { bytes } = await tables
    .selectFrom("file")
    .select("bytes")
    .where("sha256", "=", sha256)
    .executeTakeFirstOrThrow();
  await writing.insert("copy", { id: newId(), sha256, place, bytes, verified_at: now });
  return true;
}

export async function hasCopy(tables: ActContext["tables"], sha256: string, place: string): Promise<boolean> {
  const row = await tables
    .selectFrom("copy")
    .select("id")
    .where("sha256", "=", sha256)
    .where("place", "=", place)
    .executeTakeFirst();
  return row !== undefined;
}
