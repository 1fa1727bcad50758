import type { Entry, Library } from "@samescale/record";
import { maySeeFrame } from "../access/seeing.ts";
import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import { entriesOn, mustReadLog, subjectOf } from "./read-log.ts";
import { inWords } from "./words.ts";

/** One act in the life of a frame. */
export interface HistoryLine {
  /** Number of the entry in the custody log. */
  readonly entry: number;
  readonly time: string;
  readonly actor: string;
  readonly act: string;
  readonly subject: string;
  /** In words. */
  readonly says: string;
  /** The reason that was given; null: none is asked for this act. */
  readonly because: string | null;
}

/**
 * What happened to something, in the order of the log: every act on it, and for a frame every act on what it consists of,
 * from the card that brought it to the releases that took it out.
 *
 * @returns null where there is no such thing that this person may know of
 * @throws SamescaleError ACT_REFUSED, BAD_SUBJECT
 */
export async function history(desk: Desk, actor: Actor, subject: string): Promise<HistoryLine[] | null> {
  mustReadLog(actor);
  const { read, clock } = desk.library;
  const [table, id = ""] = subjectOf(subject).split("/");
  if (table !== "frame") {
    const entries = await entriesOn(read, [subject]);
    return entries.length === 0 ? null : entries.map(lineOfEntry);
  }
  const mayKnow = actor.role === "auditor" || (await maySeeFrame(read, actor, id, clock().toISOString()));
  const parts = mayKnow ? await partsOfFrame(read, id) : null;
  return parts && (await entriesOn(read, parts)).map(lineOfEntry);
}

function lineOfEntry({ sequence, time, actor, act, subject, details }: Entry): HistoryLine {
  const because = typeof details.because === "string" ? details.because : null;
  return { entry: sequence, time, actor, act, subject, says: inWords(act), because };
}

/** The frame, what it was made of and what was made of it; null when there is no such frame. */
async function partsOfFrame(read: Library["read"], id: string): Promise<string[] | null> {
  const frame = await read.selectFrom("frame").select("intake_id").where("id", "=", id).executeTakeFirst();
  if (frame === undefined) return null;
  const files = await read.selectFrom("file").select("sha256").where("frame_id", "=", id).execute();
  const hashes = files.map(({ sha256 }) => sha256);
  const parts = [`frame/${id}`, `intake/${frame.intake_id}`, ...hashes.map((sha256) => `file/${sha256}`)];
  const copies = await read
    .selectFrom("copy")
    .select("id")
    .where("sha256", "in", ["", ...hashes])
    .execute();
  parts.push(...copies.map((copy) => `copy/${copy.id}`));
  for (const kind of ["reading", "outline", "measurement", "verdict", "picture", "mask"] as const) {
    const made = await read.selectFrom(kind).select("id").where("frame_id", "=", id).execute();
    parts.push(...made.map((row) => `${kind}/${row.id}`));
  }
  const items = await read
    .selectFrom("release_item")
    .select(["id", "release_id"])
    .where("frame_id", "=", id)
    .execute();
  parts.push(...new Set(items.flatMap((item) => [`release_item/${item.id}`, `release/${item.release_id}`])));
  return parts;
}
