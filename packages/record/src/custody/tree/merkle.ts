import { createHash } from "node:crypto";

/**
 * The Merkle tree of RFC 6962 over the lines of the custody log: leaf 0 is the line of entry 1. What a proof needs is
 * read from the complete subtrees that are kept, so every answer costs O(log n).
 *
 * @source RFC6962 section 2.1
 */

/** Hash of a complete subtree: of the leaves from `position * 2 ** level`, `2 ** level` of them. */
export type NodeAt = (level: number, position: number) => Promise<string>;

/** Root of a tree without leaves: SHA-256 of nothing. */
export const EMPTY_ROOT = createHash("sha256").digest("hex");

const LEAF = Uint8Array.of(0);
const NODE = Uint8Array.of(1);

/** Hash of a leaf; the prefix keeps a leaf from standing in for a node. @source RFC6962 section 2.1 */
export function leafHash(line: string | Uint8Array): string {
  return createHash("sha256").update(LEAF).update(line).digest("hex");
}

export function nodeHash(left: string, right: string): string {
  return createHash("sha256").update(NODE).update(left, "hex").update(right, "hex").digest("hex");
}

/** Root of the tree over the first `size` leaves. */
export function rootOf(at: NodeAt, size: number): Promise<string> {
  return size === 0 ? Promise.resolve(EMPTY_ROOT) : hashOfRange(at, 0, size);
}

/** Audit path of one leaf, nearest to it first. @source RFC6962 section 2.1.1 */
export async function inclusionPath(at: NodeAt, leaf: number, size: number): Promise<string[]> {
  const path: string[] = [];
  for (let begin = 0, end = size; end - begin > 1; ) {
    const middle = begin + split(end - begin);
    if (leaf < middle) {
      path.push(await hashOfRange(at, middle, end));
      end = middle;
    } else {
      path.push(await hashOfRange(at, begin, middle));
      begin = middle;
    }
  }
  return path.reverse();
}

/** Why the tree of size `to` begins with the tree of size `from`. @source RFC6962 section 2.1.2 */
export async function consistencyPath(at: NodeAt, from: number, to: number): Promise<string[]> {
  if (from === 0 || from === to) return [];
  const path: string[] = [];
  let begin = 0;
  let end = to;
  while (end !== from) {
    const middle = begin + split(end - begin);
    if (from <= middle) {
      path.push(await hashOfRange(at, middle, end));
      end = middle;
    } else {
      path.push(await hashOfRange(at, begin, middle));
      begin = middle;
    }
  }
  // A subtree that begins where the tree does is the earlier tree itself: its root is known to whoever asks.
  if (begin > 0) path.push(await hashOfRange(at, begin, end));
  return path.reverse();
}

/** The largest power of two below `size`. */
function split(size: number): number {
  let left = 1;
  while (left * 2 < size) left *= 2;
  return left;
}

async function hashOfRange(at: NodeAt, begin: number, end: number): Promise<string> {
  const size = end - begin;
  const left = split(size);
  if (left * 2 === size || size === 1) return at(Math.round(Math.log2(size)), begin / size);
  return nodeHash(await hashOfRange(at, begin, begin + left), await hashOfRange(at, begin + left, end));
}
