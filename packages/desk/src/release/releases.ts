import type { ConsentScope } from "@samescale/practice";
import { seenRequests } from "../access/seeing.ts";
import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import type { Receipt } from "./receipt.ts";

/** A release as it stands on record. */
export interface KnownRelease {
  readonly id: string;
  readonly requestId: string | null;
  readonly requestCode: string;
  readonly scope: ConsentScope;
  readonly to: string;
  readonly purpose: string;
  readonly publication: string | null;
  readonly form: string;
  readonly folder: string;
  readonly madeAt: string;
  readonly releasedBy: string;
  readonly expiresOn: string | null;
  /** out: handed over; unfinished: being made, or left by a killed run; taken-back: it did not leave after all. */
  readonly state: "out" | "unfinished" | "taken-back";
  readonly takenBackBecause: string | null;
  /** Consent ended afterwards. */
  readonly recallBecause: string | null;
  /** What the recipient said to a recall, or at the end of their time; null: nothing yet. */
  readonly answered: { readonly at: string; readonly says: string } | null;
  /** Of its last day: the recipient may not use it any more. */
  readonly isExpired: boolean;
  readonly receipt: Receipt;
  /** Which frames each file shows. */
  readonly items: readonly {
    readonly name: string;
    readonly frameId: string | null;
    readonly sha256: string;
  }[];
}

/**
 * What left the department, newest last: all of it, or of one request, one frame, or one release. Of requests that somebody
 * may not know of there is nothing.
 */
export async function releasesOf(
  { library }: Desk,
  actor: Actor,
  of: { readonly requestId?: string; readonly frameId?: string; readonly releaseId?: string } = {},
): Promise<readonly KnownRelease[]> {
  const now = library.clock().toISOString();
  let query = library.read
    .selectFrom("release")
    .innerJoin("request", "request.id", "release.request_id")
    .selectAll("release")
    .select("request.code")
    .where(seenRequests(actor, now));
  if (of.requestId !== undefined) query = query.where("release.request_id", "=", of.requestId);
  if (of.releaseId !== undefined) query = query.where("release.id", "=", of.releaseId);
  if (of.frameId !== undefined) {
    const showing = library.read
      .selectFrom("release_item")
      .select("release_item.release_id")
      .where("release_item.frame_id", "=", of.frameId);
    query = query.where("release.id", "in", showing);
  }
  const known: KnownRelease[] = [];
  for (const row of await query.orderBy("release.made_at").orderBy("release.id").execute()) {
    const items = await library.read
      .selectFrom("release_item")
      .select(["name", "frame_id as frameId", "sha256"])
      .where("release_id", "=", row.id)
      .orderBy("name")
      .orderBy("id")
      .execute();
    const { sha256: _, all: __, ...receipt } = JSON.parse(row.receipt);
    known.push({
      id: row.id,
      requestId: row.request_id,
      requestCode: row.code,
      scope: row.scope as ConsentScope,
      to: row.recipient,
      purpose: row.purpose,
      publication: row.publication,
      form: row.form,
      folder: row.folder,
      madeAt: row.made_at,
      releasedBy: row.released_by,
      expiresOn: row.expires_on,
      state: stateOf(row),
      takenBackBecause: row.taken_back_because,
      recallBecause: row.recall_because,
      answered: row.recalled_at === null ? null : { at: row.recalled_at, says: row.recall_answer ?? "" },
      isExpired: row.expires_on !== null && row.expires_on < now.slice(0, 10),
      receipt,
      items,
    });
  }
  return known;
}

/** What became of a release. */
export const stateOf = (row: {
  readonly handed_over_at: string | null;
  readonly taken_back_at: string | null;
}): KnownRelease["state"] =>
  row.handed_over_at !== null ? "out" : row.taken_back_at !== null ? "taken-back" : "unfinished";
