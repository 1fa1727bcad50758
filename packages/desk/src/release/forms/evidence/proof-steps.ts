/** One step of an audit path: the neighbour's hash, and on which side of ours it stands. */
export interface ProofStep {
  readonly side: "left" | "right";
  readonly hash: string;
}

/**
 * The steps from the leaf of entry `sequence` to the root over the first `size` entries, each with its side, so that a
 * shell can follow them without knowing the shape of the tree.
 * @param proof as the custody log gives it, nearest to the leaf first
 * @source RFC9162 section 2.1.3.2
 */
export function proofSteps(sequence: number, size: number, proof: readonly string[]): ProofStep[] {
  const half = (n: number) => Math.floor(n / 2);
  let [node, last] = [sequence - 1, size - 1];
  return proof.map((hash) => {
    const side = node % 2 === 1 || node === last ? "left" : "right";
    // Without a right neighbour it was carried up unchanged.
    if (side === "left") while (node % 2 === 0 && node !== 0) [node, last] = [half(node), half(last)];
    [node, last] = [half(node), half(last)];
    return { side, hash };
  });
}

/** Bytes as `printf %b` of every shell writes them: octal, as POSIX knows no other. */
export const octalOf = (hex: string): string =>
  [...Buffer.from(hex, "hex")].map((byte) => `\\0${byte.toString(8).padStart(3, "0")}`).join("");
