import { SamescaleError } from "@samescale/errors";
import type { Kysely, Transaction } from "kysely";
import type { Schema } from "../../tables/schema.ts";
import { consistencyPath, inclusionPath, leafHash, type NodeAt, nodeHash, rootOf } from "./merkle.ts";

type Reading = Pick<Kysely<Schema>, "selectFrom">;

export interface TreeHead {
  /** How many entries of the log it covers. */
  readonly size: number;
  readonly root: string;
}

/** Adds the leaf of an entry, and every subtree that becomes complete with it; in the transaction of the act. */
export async function addLeaf(
  transaction: Transaction<Schema>,
  sequence: number,
  line: string,
): Promise<void> {
  const at = nodesOf(transaction);
  let position = sequence - 1;
  let hash = leafHash(line);
  const rows = [{ level: 0, position, hash }];
  for (let level = 0; position % 2 === 1; level++) {
    hash = nodeHash(await at(level, position - 1), hash);
    position = (position - 1) / 2;
    rows.push({ level: level + 1, position, hash });
  }
  await transaction.insertInto("tree_node").values(rows).execute();
}

/** The present size and root of the tree. */
export async function treeHead(db: Reading): Promise<TreeHead> {
  const size = await treeSize(db);
  return { size, root: await rootOf(nodesOf(db), size) };
}

/** Root of the tree as it was when the log had `size` entries. */
export async function rootAt(db: Reading, size: number): Promise<string> {
  return rootOf(nodesOf(db), await within(db, size));
}

/** Audit path of entry `sequence` in the tree of the first `size` entries. */
export async function inclusionProof(db: Reading, sequence: number, size: number): Promise<string[]> {
  await within(db, size);
  if (!Number.isSafeInteger(sequence) || sequence < 1 || sequence > size) throw noSuchEntry(sequence, size);
  return inclusionPath(nodesOf(db), sequence - 1, size);
}

/** Why the log of `to` entries begins with the very log of `from` entries. */
export async function consistencyProof(db: Reading, from: number, to: number): Promise<string[]> {
  await within(db, to);
  if (!Number.isSafeInteger(from) || from < 0 || from > to) throw noSuchEntry(from, to);
  return consistencyPath(nodesOf(db), from, to);
}

export async function treeSize(db: Reading): Promise<number> {
  const last = await db
    .selectFrom("tree_node")
    .select("position")
    .where("level", "=", 0)
    .orderBy("position", "desc")
    .limit(1)
    .executeTakeFirst();
  return last === undefined ? 0 : last.position + 1;
}

async function within(db: Reading, size: number): Promise<number> {
  const present = await treeSize(db);
  if (Number.isSafeInteger(size) && size >= 0 && size <= present) return size;
  throw noSuchEntry(size, present);
}

/** @throws SamescaleError TREE_INCOMPLETE where a node is missing */
const nodesOf =
  (db: Reading): NodeAt =>
  async (level, position) => {
    const node = await db
      .selectFrom("tree_node")
      .select("hash")
      .where("level", "=", level)
      .where("position", "=", position)
      .executeTakeFirst();
    if (node !== undefined) return node.hash;
    throw new SamescaleError(
      "TREE_INCOMPLETE",
      `The tree over the custody log has no node at level ${level}, position ${position}`,
      "Run `samescale verify`, which says what else is missing; put the last backup beside the library.",
    );
  };

const noSuchEntry = (asked: number, size: number) =>
  new SamescaleError(
    "ENTRY_MISSING",
    `The custody log has no entry ${asked}: it has ${size}`,
    "Name an entry by its number, as `samescale custody show` prints it.",
  );
