import { EMPTY_ROOT, leafHash, nodeHash } from "./merkle.ts";

/** That a line is entry `sequence` of the log whose first `size` entries have this root. */
export interface InclusionClaim {
  /** With its line feed. */
  readonly line: string | Uint8Array;
  readonly sequence: number;
  readonly size: number;
  readonly root: string;
  readonly proof: readonly string[];
}

/** That the log of `to` entries begins with the very log of `from` entries. */
export interface ConsistencyClaim {
  readonly from: number;
  readonly fromRoot: string;
  readonly to: number;
  readonly toRoot: string;
  readonly proof: readonly string[];
}

/** A path cannot be longer than a number has bits. */
export const LONGEST_PROOF = 64;

const HASH = /^[0-9a-f]{64}$/;

const isProof = (proof: readonly string[]) =>
  proof.length <= LONGEST_PROOF && proof.every((hash) => typeof hash === "string" && HASH.test(hash));

/** False for anything that does not prove it, whatever is in the claim. @source RFC9162 section 2.1.3.2 */
export function checkInclusion({ line, sequence, size, root, proof }: InclusionClaim): boolean {
  if (!Number.isSafeInteger(sequence) || !Number.isSafeInteger(size)) return false;
  if (sequence < 1 || sequence > size || !isProof(proof)) return false;
  const walk = walkUp(sequence - 1, size - 1);
  let hash = leafHash(line);
  for (const other of proof) {
    if (walk.atRoot()) return false;
    hash = walk.isRightChild() ? nodeHash(other, hash) : nodeHash(hash, other);
    walk.step();
  }
  return walk.atRoot() && hash === root;
}

/** False for anything that does not prove it, whatever is in the claim. @source RFC9162 section 2.1.4.2 */
export function checkConsistency({ from, fromRoot, to, toRoot, proof }: ConsistencyClaim): boolean {
  if (!Number.isSafeInteger(from) || !Number.isSafeInteger(to)) return false;
  if (from < 0 || from > to || !isProof(proof)) return false;
  if (from === to) return proof.length === 0 && fromRoot === toRoot;
  if (from === 0) return proof.length === 0 && fromRoot === EMPTY_ROOT;
  const walk = walkUp(from - 1, to - 1);
  walk.skipRightChildren();
  const [first, ...others] = walk.isWhole() ? [fromRoot, ...proof] : proof;
  if (first === undefined) return false;
  let earlier = first;
  let later = first;
  for (const other of others) {
    if (walk.atRoot()) return false;
    if (walk.isRightChild()) {
      earlier = nodeHash(other, earlier);
      later = nodeHash(other, later);
    } else {
      later = nodeHash(later, other);
    }
    walk.step();
  }
  return walk.atRoot() && earlier === fromRoot && later === toRoot;
}

/** From a leaf to the root, beside the tree's last leaf; plain arithmetic, as bit operators end at 31 bits. */
function walkUp(leaf: number, lastLeaf: number) {
  let node = leaf;
  let last = lastLeaf;
  const up = () => {
    node = Math.floor(node / 2);
    last = Math.floor(last / 2);
  };
  return {
    atRoot: () => last === 0,
    /** Nothing to the left of it: the earlier tree is one complete subtree. */
    isWhole: () => node === 0,
    /** A left neighbour is joined to it; the last node of a level without a right one is carried up first. */
    isRightChild: () => node % 2 === 1 || node === last,
    step() {
      if (node % 2 === 0 && node === last) while (node % 2 === 0 && node !== 0) up();
      up();
    },
    skipRightChildren() {
      while (node % 2 === 1) up();
    },
  };
}
