import { maySeeFrame } from "../access/seeing.ts";
import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import { mustReadLog } from "./read-log.ts";

/** An original of a frame, and where it lies. */
export interface OriginalOnRecord {
  readonly sha256: string;
  readonly name: string;
  readonly format: string;
  readonly bytes: number;
  readonly storedAt: string;
  /** Why its bytes are gone; null: they are there. */
  readonly destroyedBecause: string | null;
  readonly copies: readonly { readonly place: string; readonly verifiedAt: string }[];
}

/** Something that was made from the frame. */
export interface MadeFromFrame {
  readonly id: string;
  readonly kind: "thumbnail" | "preview" | "reading" | "outline" | "measurement" | "verdict" | "mask";
  readonly madeAt: string;
  readonly sha256: string;
}

/** What the record holds of one frame, for whoever answers for it. No picture is needed to read it. */
export interface FrameOnRecord {
  readonly id: string;
  readonly name: string;
  readonly card: string;
  readonly takenAt: string | null;
  readonly requestCode: string | null;
  readonly visitDate: string | null;
  /** How it was placed, or why not. */
  readonly placing: string;
  readonly flags: readonly string[];
  readonly trashedBecause: string | null;
  readonly originals: readonly OriginalOnRecord[];
  readonly made: readonly MadeFromFrame[];
  readonly releases: readonly {
    readonly id: string;
    readonly day: string;
    readonly recipient: string;
    readonly name: string;
  }[];
  /** Whether this person may look at its picture as well. */
  readonly mayLook: boolean;
}

/** @returns null where there is no such frame that they may know of @throws SamescaleError ACT_REFUSED */
export async function frameOnRecord(desk: Desk, actor: Actor, id: string): Promise<FrameOnRecord | null> {
  mustReadLog(actor);
  const { read, clock } = desk.library;
  const mayLook = await maySeeFrame(read, actor, id, clock().toISOString());
  if (!mayLook && actor.role !== "auditor") return null;
  const frame = await read
    .selectFrom("frame")
    .innerJoin("intake", "intake.id", "frame.intake_id")
    .leftJoin("request", "request.id", "frame.request_id")
    .leftJoin("visit", "visit.id", "frame.visit_id")
    .select(["frame.id", "frame.name", "frame.taken_at", "frame.placing", "frame.flags"])
    .select(["frame.trashed_because", "intake.card_path", "request.code", "visit.date"])
    .where("frame.id", "=", id)
    .executeTakeFirst();
  if (!frame) return null;
  return {
    id,
    name: frame.name,
    card: frame.card_path.split("/").at(-1) ?? frame.card_path,
    takenAt: frame.taken_at,
    requestCode: frame.code,
    visitDate: frame.date,
    placing: frame.placing,
    flags: JSON.parse(frame.flags) as string[],
    trashedBecause: frame.trashed_because,
    originals: await originalsOf(desk, id),
    made: await madeFrom(desk, id),
    releases: await releasesWith(desk, id),
    mayLook,
  };
}

async function originalsOf({ library }: Desk, frameId: string): Promise<OriginalOnRecord[]> {
  const files = await library.read
    .selectFrom("file")
    .selectAll()
    .where("frame_id", "=", frameId)
    .orderBy("name")
    .execute();
  const copies = await library.read
    .selectFrom("copy")
    .select(["sha256", "place", "verified_at"])
    .where("sha256", "in", ["", ...files.map(({ sha256 }) => sha256)])
    .execute();
  return files.map(({ sha256, name, format, bytes, stored_at, destroyed_because }) => ({
    sha256,
    name,
    format,
    bytes,
    storedAt: stored_at,
    destroyedBecause: destroyed_because,
    copies: copies
      .filter((copy) => copy.sha256 === sha256)
      .map(({ place, verified_at }) => ({ place, verifiedAt: verified_at })),
  }));
}

const MADE = ["picture", "reading", "outline", "measurement", "verdict", "mask"] as const;

async function madeFrom({ library }: Desk, frameId: string): Promise<MadeFromFrame[]> {
  const made: MadeFromFrame[] = [];
  for (const table of MADE) {
    const rows = await library.read
      .selectFrom(table)
      .select(["id", "made_at", "sha256", "body"])
      .where("frame_id", "=", frameId)
      .orderBy("made_at")
      .orderBy("id")
      .execute();
    for (const { id, made_at, sha256, body } of rows) {
      const picture =
        table === "picture" ? (JSON.parse(body) as { use?: MadeFromFrame["kind"]; sha256: string }) : null;
      const kind = table === "picture" ? (picture?.use ?? "preview") : table;
      made.push({ id, kind, madeAt: made_at, sha256: picture?.sha256 ?? sha256 });
    }
  }
  return made;
}

async function releasesWith({ library }: Desk, frameId: string): Promise<FrameOnRecord["releases"]> {
  const rows = await library.read
    .selectFrom("release_item")
    .innerJoin("release", "release.id", "release_item.release_id")
    .select(["release.id", "release.made_at", "release.recipient", "release_item.name"])
    .where("release_item.frame_id", "=", frameId)
    .orderBy("release.made_at")
    .execute();
  return rows.map(({ id, made_at, recipient, name }) => ({ id, day: made_at.slice(0, 10), recipient, name }));
}
