import type { ActContext } from "../act/define-act.ts";

/** What a run found at one place of the card, as the tables keep it. */
export interface CardFile {
  readonly path: string;
  readonly bytes: number;
  readonly modifiedMs: number;
  readonly sha256: string | null;
  readonly state: "stored" | "already" | "not-a-picture" | "unreadable";
  readonly reason: string | null;
}

/** Sizes by path: tells whether the card in the reader is the one that an earlier run began with. */
export type Listing = ReadonlyMap<string, number>;

/** An intake that an earlier run began or finished, and what it found. */
export interface EarlierIntake {
  readonly id: string;
  readonly files: ReadonlyMap<string, CardFile>;
}

/**
 * The unfinished intake of a card at this path, if the card there now is still the same: everything that was
 * found has its size still.
 */
export async function unfinishedIntake(
  tables: ActContext["tables"],
  cardPath: string,
  listing: Listing,
): Promise<{ readonly same: EarlierIntake | null; readonly others: readonly string[] }> {
  const begun = await tables
    .selectFrom("intake")
    .select("id")
    .where("card_path", "=", cardPath)
    .where("finished_at", "is", null)
    .where("abandoned_because", "is", null)
    .orderBy("begun_at")
    .execute();
  let same: EarlierIntake | null = null;
  const others: string[] = [];
  for (const { id } of begun) {
    const files = await filesOf(tables, id);
    const isSame = [...files.values()].every((file) => listing.get(file.path) === file.bytes);
    if (isSame && same === null) same = { id, files };
    else others.push(id);
  }
  return { same, others };
}

/** The last intake of a card at this path that came to its end. */
export async function lastFinishedIntake(
  tables: ActContext["tables"],
  cardPath: string,
): Promise<EarlierIntake | null> {
  const last = await tables
    .selectFrom("intake")
    .select("id")
    .where("card_path", "=", cardPath)
    .where("finished_at", "is not", null)
    .orderBy("finished_at", "desc")
    .executeTakeFirst();
  return last ? { id: last.id, files: await filesOf(tables, last.id) } : null;
}

async function filesOf(tables: ActContext["tables"], intakeId: string): Promise<Map<string, CardFile>> {
  const rows = await tables.selectFrom("card_file").selectAll().where("intake_id", "=", intakeId).execute();
  return new Map(rows.map(({ modified_ms, ...row }) => [row.path, { ...row, modifiedMs: modified_ms }]));
}

/** Writes what was found at one place of the card, unless exactly that is written already. True when it wrote. */
export async function writeCardFile(
  { writing, tables, newId }: ActContext,
  intakeId: string,
  file: CardFile,
): Promise<boolean> {
  const { modifiedMs, ...found } = file;
  const known = await tables
    .selectFrom("card_file")
    .select(["id", "sha256", "bytes", "state"])
    .where("intake_id", "=", intakeId)
    .where("path", "=", file.path)
    .executeTakeFirst();
  if (!known) {
    await writing.insert("card_file", {
      id: newId(),
      intake_id: intakeId,
      modified_ms: modifiedMs,
      ...found,
    });
    return true;
  }
  // The same bytes seen again by a later run: what the first one said of them stands.
  if (known.sha256 === file.sha256 && (file.sha256 !== null || known.state === file.state)) return false;
  const { bytes, sha256, state, reason } = found;
  await writing.update("card_file", known.id, { bytes, modified_ms: modifiedMs, sha256, state, reason });
  return true;
}
