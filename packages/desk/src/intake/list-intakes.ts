import { type Actor, PHOTOGRAPHERS } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import type { CardFile } from "./intake-rows.ts";
import type { MayBeErased } from "./may-be-erased.ts";

/** A card as it was taken in. */
export interface ListedIntake {
  readonly id: string;
  readonly cardPath: string;
  readonly begunAt: string;
  /** Null: not wholly in yet, to be gone on with, unless it was given up. */
  readonly finishedAt: string | null;
  readonly abandonedBecause: string | null;
  readonly files: Readonly<Record<CardFile["state"], number>>;
  readonly placed: number;
  readonly unplaced: number;
  /** What was said when it was finished. */
  readonly erase: MayBeErased | null;
  /** How the camera's clock was put right; null: nobody said that it ran wrong. */
  readonly clock: { readonly offsetS: number; readonly because: string; readonly by: string } | null;
}

/** The cards that were taken in last, the newest first; for those who take them in, none for others. */
export async function listIntakes(desk: Desk, actor: Actor, most: number): Promise<ListedIntake[]> {
  return PHOTOGRAPHERS.includes(actor.role) ? await intakes(desk, most, null) : [];
}

/** One card and every file that lay on it; null where there is none that they may know of. */
export async function intakeOnRecord(
  desk: Desk,
  actor: Actor,
  id: string,
): Promise<{ readonly intake: ListedIntake; readonly files: readonly CardFile[] } | null> {
  const [intake] = PHOTOGRAPHERS.includes(actor.role) ? await intakes(desk, 1, id) : [];
  if (!intake) return null;
  const rows = await desk.library.read
    .selectFrom("card_file")
    .select(["path", "bytes", "modified_ms as modifiedMs", "sha256", "state", "reason"])
    .where("intake_id", "=", id)
    .orderBy("path")
    .execute();
  return { intake, files: rows };
}

async function intakes({ library }: Desk, most: number, id: string | null): Promise<ListedIntake[]> {
  const { read } = library;
  const rows = await read
    .selectFrom("intake")
    .selectAll()
    .$if(id !== null, (of) => of.where("id", "=", id))
    .orderBy("begun_at", "desc")
    .orderBy("id", "desc")
    .limit(most)
    .execute();
  const ids = ["", ...rows.map((row) => row.id)];
  const files = await read
    .selectFrom("card_file")
    .select((is) => ["intake_id", "state", is.fn.countAll<number>().as("count")])
    .where("intake_id", "in", ids)
    .groupBy(["intake_id", "state"])
    .execute();
  const frames = await read
    .selectFrom("frame")
    .select((is) => [
      "intake_id",
      is.fn.countAll<number>().as("all"),
      is.fn.count<number>("request_id").as("placed"),
    ])
    .where("intake_id", "in", ids)
    .groupBy("intake_id")
    .execute();
  const ended = await read
    .selectFrom("act")
    .select(["subject", "details"])
    .where("act", "=", "intake.finish")
    .where(
      "subject",
      "in",
      ids.map((one) => `intake/${one}`),
    )
    .execute();
  return rows.map((row) => {
    const count = (state: CardFile["state"]) =>
      Number(files.find((one) => one.intake_id === row.id && one.state === state)?.count ?? 0);
    const ofRow = frames.find((one) => one.intake_id === row.id);
    const end = ended.find(({ subject }) => subject === `intake/${row.id}`);
    const { clock_offset_s: offsetS } = row;
    return {
      id: row.id,
      cardPath: row.card_path,
      begunAt: row.begun_at,
      finishedAt: row.finished_at,
      abandonedBecause: row.abandoned_because,
      files: {
        stored: count("stored"),
        already: count("already"),
        "not-a-picture": count("not-a-picture"),
        unreadable: count("unreadable"),
      },
      placed: Number(ofRow?.placed ?? 0),
      unplaced: Number(ofRow?.all ?? 0) - Number(ofRow?.placed ?? 0),
      erase: end ? eraseOf(end.details) : null,
      clock: offsetS === null ? null : { offsetS, because: row.clock_because ?? "", by: row.clock_by ?? "" },
    };
  });
}

function eraseOf(details: string): MayBeErased {
  const { cardMayBeErased, why } = JSON.parse(details) as { cardMayBeErased: boolean; why: string };
  return { may: cardMayBeErased, why };
}
