import type { Kysely } from "kysely";
import { EMPTY_ROOT, leafHash, nodeHash } from "../custody/tree/merkle.ts";
import type { Schema } from "../tables/schema.ts";
import type { Fault } from "./report.ts";

/** Bounds memory. */
const AT_ONCE = 1000;

/**
 * Compares every kept leaf with the line of its entry, and every kept node above with the two below it: so one fault
 * stays one fault. The roots of the sizes that somebody signed are computed from the lines alone; what is kept is not believed.
 */
export function treeChecker(db: Kysely<Schema>, sizes: ReadonlySet<number>) {
  const roots = new Map<number, string>([[0, EMPTY_ROOT]]);
  const faults: Fault[] = [];
  const edge = treeEdge();
  /** Leaves by position, not yet compared. */
  let waiting = new Map<number, string>();
  let compared = 0;

  async function compareLeaves(upTo: number | null): Promise<void> {
    let query = db
      .selectFrom("tree_node")
      .select(["position", "hash"])
      .where("level", "=", 0)
      .where("position", ">=", compared)
      .orderBy("position");
    if (upTo !== null) query = query.where("position", "<", upTo);
    for (const { position, hash } of await query.execute()) {
      const computed = waiting.get(position);
      waiting.delete(position);
      if (computed === undefined) tell(position, "is kept, and the log has no such entry");
      else if (computed !== hash) tell(position, `is ${hash}, its line gives ${computed}`);
    }
    for (const position of waiting.keys()) tell(position, "is missing");
    waiting = new Map();
    compared = upTo ?? compared;
  }
  function tell(position: number, fault: string): void {
    faults.push({ where: "tree", subject: `leaf of entry ${position + 1}`, fault });
  }

  return {
    faults,
    roots,
    /** @param sequence what the entry says of its place; the line's own place where it says nothing */
    async next(line: string, sequence: unknown): Promise<void> {
      const hash = leafHash(line);
      const size = edge.add(hash);
      if (sizes.has(size)) roots.set(size, edge.root());
      const position = (Number.isSafeInteger(sequence) ? (sequence as number) : size) - 1;
      if (position < compared || waiting.has(position)) return; // the chain names an entry that is there twice
      waiting.set(position, hash);
      if (waiting.size >= AT_ONCE) await compareLeaves(position + 1);
    },
    async end(): Promise<void> {
      await compareLeaves(null);
      faults.push(...(await nodeFaults(db)));
    },
  };
}

/** The nodes that a further leaf is joined to: one for each level. */
function treeEdge() {
  const edge: string[] = [];
  let size = 0;
  return {
    add(leaf: string): number {
      let hash = leaf;
      let level = 0;
      for (let left = size; left % 2 === 1; left = (left - 1) / 2) {
        hash = nodeHash(edge[level++] as string, hash);
      }
      edge[level] = hash;
      return ++size;
    },
    /** Joins the complete subtrees that the size is made of, from the smallest up. */
    root(): string {
      let root: string | null = null;
      for (let level = 0, left = size; left > 0; level++, left = Math.floor(left / 2)) {
        if (left % 2 === 0) continue;
        const subtree = edge[level] as string;
        root = root === null ? subtree : nodeHash(subtree, root);
      }
      return root ?? EMPTY_ROOT;
    },
  };
}

/** Every kept node above the leaves, against the two kept below it; and how many there must be. */
async function nodeFaults(db: Kysely<Schema>): Promise<Fault[]> {
  const faults: Fault[] = [];
  const counts = await db
    .selectFrom("tree_node")
    .select(["level", db.fn.countAll<number | string>().as("nodes")])
    .groupBy("level")
    .orderBy("level")
    .execute();
  const nodesAt = new Map(counts.map(({ level, nodes }) => [level, Number(nodes)]));
  const leaves = nodesAt.get(0) ?? 0;
  const levels = Math.max(Math.floor(Math.log2(Math.max(leaves, 1))), ...nodesAt.keys());
  for (let level = 1; level <= levels; level++) {
    const [has, want] = [nodesAt.get(level) ?? 0, Math.floor(leaves / 2 ** level)];
    if (has !== want) {
      const fault = `has ${has} nodes, ${leaves} leaves make ${want}`;
      faults.push({ where: "tree", subject: `level ${level}`, fault });
    }
    for await (const { position, hash, left, right } of nodesOf(db, level)) {
      if (left !== null && right !== null && nodeHash(left, right) === hash) continue;
      const fault = `is ${hash}, which is not the hash of the two nodes below it`;
      faults.push({ where: "tree", subject: `node ${level}/${position}`, fault });
    }
  }
  return faults;
}

interface NodeWithTwoBelow {
  readonly position: number;
  readonly hash: string;
  readonly left: string | null;
  readonly right: string | null;
}

async function* nodesOf(db: Kysely<Schema>, level: number): AsyncGenerator<NodeWithTwoBelow> {
  for (let after = -1; ; ) {
    const above = await db
      .selectFrom("tree_node")
      .select(["position", "hash"])
      .where("level", "=", level)
      .where("position", ">", after)
      .orderBy("position")
      .limit(AT_ONCE)
      .execute();
    const [first, last] = [above[0], above.at(-1)];
    if (first === undefined || last === undefined) return;
    const below = await db
      .selectFrom("tree_node")
      .select(["position", "hash"])
      .where("level", "=", level - 1)
      .where("position", ">=", first.position * 2)
      .where("position", "<=", last.position * 2 + 1)
      .execute();
    const at = new Map(below.map(({ position, hash }) => [position, hash]));
    for (const { position, hash } of above) {
      yield { position, hash, left: at.get(2 * position) ?? null, right: at.get(2 * position + 1) ?? null };
    }
    after = last.position;
  }
}
