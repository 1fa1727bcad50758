import type { Kysely } from "kysely";
import type { Schema } from "../../tables/schema.ts";
import { currentHead, entriesOf, exportedLine } from "../log.ts";
import { addLeaf, treeSize } from "./nodes.ts";

/** Adds the leaves of entries that were written before the log had a tree; otherwise nothing. */
export async function fillTree(db: Kysely<Schema>): Promise<void> {
  if ((await treeSize(db)) >= (await currentHead(db)).sequence) return;
  await db.transaction().execute(async (transaction) => {
    // Looked at again inside: two programs may have opened the library at once.
    const from = await treeSize(transaction);
    let sequence = from;
    for await (const entry of entriesOf(transaction, from)) {
      sequence++;
      await addLeaf(transaction, sequence, exportedLine(entry));
    }
  });
}
