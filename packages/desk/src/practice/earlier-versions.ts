import { type Actor, PHOTOGRAPHERS } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import { isPracticePath } from "./practice-file.ts";

/** One change of a file of the practice, as the log tells it. */
export interface EarlierVersion {
  readonly at: string;
  readonly by: string;
  /** SHA-256 of the text before; null: the file was made. */
  readonly before: string | null;
  /** Null: it was taken away. */
  readonly after: string | null;
}

const MOST = 100;

/** Changes of one file, the newest first, for those who may make them. */
export async function earlierVersions(
  { library }: Desk,
  actor: Actor,
  path: string,
): Promise<readonly EarlierVersion[]> {
  if (!PHOTOGRAPHERS.includes(actor.role) || !isPracticePath(path)) return [];
  const rows = await library.read
    .selectFrom("act")
    .select(["time", "actor", "details"])
    .where("subject", "=", `practice/${path}`)
    .where("act", "=", "practice.change")
    .orderBy("sequence", "desc")
    .limit(MOST)
    .execute();
  return rows.map(({ time, actor: by, details }) => {
    const { before, after } = JSON.parse(details) as Pick<EarlierVersion, "before" | "after">;
    return { at: time, by, before, after };
  });
}
