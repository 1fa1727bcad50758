import type { ConsentScope } from "@samescale/practice";
import { seenRequests } from "../access/seeing.ts";
import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import { type KnownRelease, stateOf } from "./releases.ts";

/** A release as lists show it. */
export interface ListedRelease
  extends Pick<
    KnownRelease,
    | "id"
    | "scope"
    | "to"
    | "purpose"
    | "form"
    | "folder"
    | "madeAt"
    | "releasedBy"
    | "expiresOn"
    | "isExpired"
    | "state"
    | "recallBecause"
  > {
  readonly requestCode: string;
}

export interface ReleaseFilter {
  readonly requestId?: string | undefined;
  readonly scope?: ConsentScope | undefined;
  /** Of these words each must be in the recipient's name, the purpose or the folder. */
  readonly words?: string | undefined;
  /** recalled: to be given back; ended: its last day of use is over. */
  readonly which?: "out" | "recalled" | "ended" | "taken-back" | undefined;
}

/** A page for a person; who looks for more narrows it. */
const MOST = 200;
const MOST_WORDS = 6;

/** What left, newest first, at most 200, and how many there are. Of requests that somebody may not know of there is nothing. */
export async function listReleases(
  { library }: Desk,
  actor: Actor,
  { requestId, scope, words = "", which }: ReleaseFilter = {},
): Promise<{ readonly releases: readonly ListedRelease[]; readonly of: number }> {
  const now = library.clock().toISOString();
  const today = now.slice(0, 10);
  let query = library.read
    .selectFrom("release")
    .innerJoin("request", "request.id", "release.request_id")
    .where(seenRequests(actor, now));
  if (requestId !== undefined) query = query.where("release.request_id", "=", requestId);
  if (scope !== undefined) query = query.where("release.scope", "=", scope);
  if (which === "out") query = query.where("release.handed_over_at", "is not", null);
  if (which === "taken-back") query = query.where("release.taken_back_at", "is not", null);
  if (which === "recalled") query = query.where("release.recall_because", "is not", null);
  if (which === "ended") query = query.where("release.expires_on", "<", today);
  for (const word of words.split(/\s+/).filter(Boolean).slice(0, MOST_WORDS)) {
    // What would be a wildcard stands for any one letter, the same on every engine.
    const like = `%${word.toLowerCase().replace(/[\\%]/g, "_")}%`;
    query = query.where((is) =>
      is.or([
        is(is.fn<string>("lower", ["release.recipient"]), "like", like),
        is(is.fn<string>("lower", ["release.purpose"]), "like", like),
        is(is.fn<string>("lower", ["release.folder"]), "like", like),
      ]),
    );
  }
  const { n } = await query.select((is) => is.fn.countAll<number>().as("n")).executeTakeFirstOrThrow();
  const rows = await query
    .selectAll("release")
    .select("request.code")
    .orderBy("release.made_at", "desc")
    .orderBy("release.id", "desc")
    .limit(MOST)
    .execute();
  return {
    of: Number(n),
    releases: rows.map((row) => ({
      id: row.id,
      requestCode: row.code,
      scope: row.scope as ConsentScope,
      to: row.recipient,
      purpose: row.purpose,
      form: row.form,
      folder: row.folder,
      madeAt: row.made_at,
      releasedBy: row.released_by,
      expiresOn: row.expires_on,
      isExpired: row.expires_on !== null && row.expires_on < today,
      state: stateOf(row),
      recallBecause: row.recall_because,
    })),
  };
}
