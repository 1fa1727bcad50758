import { createHash } from "node:crypto";

/** RFC 6962 section 2.1, word by word over lists of leaf hashes: slow, and the twin that the fast code is held against. */

const sha256 = (...parts: Uint8Array[]) => createHash("sha256").update(Buffer.concat(parts)).digest();

export const literalLeaf = (data: Uint8Array): Buffer => sha256(Buffer.of(0), data);

/** k: the largest power of two smaller than n. */
function k(n: number): number {
  return 2 ** Math.ceil(Math.log2(n) - 1);
}

/** MTH(D[n]). */
export function mth(d: readonly Buffer[]): Buffer {
  const n = d.length;
  if (n === 0) return sha256();
  if (n === 1) return d[0] as Buffer;
  return sha256(Buffer.of(1), mth(d.slice(0, k(n))), mth(d.slice(k(n))));
}

/** PATH(m, D[n]), section 2.1.1. */
export function literalPath(m: number, d: readonly Buffer[]): Buffer[] {
  const n = d.length;
  if (n === 1) return [];
  if (m < k(n)) return [...literalPath(m, d.slice(0, k(n))), mth(d.slice(k(n)))];
  return [...literalPath(m - k(n), d.slice(k(n))), mth(d.slice(0, k(n)))];
}

/** PROOF(m, D[n]), section 2.1.2. */
export function literalProof(m: number, d: readonly Buffer[]): Buffer[] {
  return subproof(m, d, true);
}

function subproof(m: number, d: readonly Buffer[], b: boolean): Buffer[] {
  const n = d.length;
  if (m === n) return b ? [] : [mth(d)];
  if (m <= k(n)) return [...subproof(m, d.slice(0, k(n)), b), mth(d.slice(k(n)))];
  return [...subproof(m - k(n), d.slice(k(n)), false), mth(d.slice(0, k(n)))];
}
