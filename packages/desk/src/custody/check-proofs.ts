import { constants } from "node:fs";
import { lstat, open, readdir } from "node:fs/promises";
import { join } from "node:path";
import { asSamescaleError, SamescaleError } from "@samescale/errors";
import {
  checkConsistency,
  checkInclusion,
  isSignedBy,
  keyIdOf,
  type SignedHead,
  signedHeadOfFile,
  signedHeadText,
} from "@samescale/record";

/** One thing that was looked at, and whether it holds. */
export interface CheckedProof {
  /** Name of the file in the folder. */
  readonly file: string;
  readonly holds: boolean;
  /** In words: what is proved, or why it is not. */
  readonly says: string;
}

const HEAD = "signed-head.txt";
const INCLUSION = /^entry-(\d{1,15})\.json$/;
const CONSISTENCY = /^consistency-(\d{1,15})-(\d{1,15})\.json$/;

/** A proof has at most 64 hashes; the line of a card with thousands of frames stays far below the other. */
const MOST_PROOF_BYTES = 20_000;
const MOST_LINE_BYTES = 20_000_000;
const MOST_FILES = 100_000;

/**
 * Checks a folder of proofs as `proofFiles` makes it, by nothing but what lies in it and the key that the reader trusts. No
 * library is needed. Only files of this folder are read, by names that are made here: what stands in a file never says
 * what to open.
 *
 * @param trustedKey SHA-256 of the public key, from elsewhere; null: the key in the folder is taken, and that is said
 * @throws SamescaleError PROOFS_UNREADABLE when there is nothing to check
 */
export async function* checkProofs(folder: string, trustedKey: string | null): AsyncGenerator<CheckedProof> {
  const names = (await namesIn(folder)).sort();
  const head = await readHead(folder);
  yield checkedHead(head, trustedKey);
  let proofs = 0;
  for (const name of names) {
    const [, sequence] = INCLUSION.exec(name) ?? [];
    const [, from, to] = CONSISTENCY.exec(name) ?? [];
    if (sequence !== undefined) yield await checkedEntry(folder, Number(sequence), head);
    else if (from !== undefined) yield await checkedSince(folder, name, Number(from), Number(to), head);
    else continue;
    proofs++;
  }
  if (proofs === 0) throw unreadable(folder, "holds no proof: no entry-N.json and no consistency-N-N.json");
}

async function namesIn(folder: string): Promise<string[]> {
  const names = await readdir(folder).catch((thrown) => {
    throw asSamescaleError(thrown, folder);
  });
  if (names.length > MOST_FILES) throw unreadable(folder, `holds more than ${MOST_FILES} files`);
  return names;
}

async function readHead(folder: string): Promise<{ head: SignedHead; publicKey: string }> {
  const text = await readPlain(join(folder, HEAD), MOST_PROOF_BYTES);
  const head = text === null ? null : signedHeadOfFile(text.toString("utf8"));
  if (head !== null) return head;
  throw unreadable(join(folder, HEAD), text === null ? "is not there" : "is not a signed head");
}

function checkedHead(
  { head, publicKey }: { head: SignedHead; publicKey: string },
  trustedKey: string | null,
): CheckedProof {
  const answer = (holds: boolean, says: string): CheckedProof => ({ file: HEAD, holds, says });
  if (keyIdOf(publicKey) !== head.keyId) return answer(false, "the key in it is not the key that it names");
  if (!isSignedBy(signedHeadText(head), head.signature, publicKey)) {
    return answer(false, "its signature does not fit what it says");
  }
  if (trustedKey !== null && trustedKey !== head.keyId) {
    return answer(false, `it is signed by ${head.keyId}, not by the key that you trust`);
  }
  const said = `${head.size} entries, signed on ${head.time} by key ${head.keyId}`;
  return answer(
    true,
    trustedKey === null ? `${said} (compare this key with one that you have from elsewhere)` : said,
  );
}

async function checkedEntry(
  folder: string,
  sequence: number,
  { head }: { head: SignedHead },
): Promise<CheckedProof> {
  const file = `entry-${sequence}.json`;
  const no = (says: string): CheckedProof => ({ file, holds: false, says });
  const read = await readClaim(folder, file, "samescale inclusion proof 1");
  if ("fault" in read) return no(read.fault);
  const { claim } = read;
  const line = await readPlain(join(folder, `entry-${sequence}.line`), MOST_LINE_BYTES);
  if (line === null) return no(`entry-${sequence}.line is not there, is a link, or is too long to be a line`);
  if (claim.sequence !== sequence)
    return no(`it is about entry ${String(claim.sequence)}, its name says ${sequence}`);
  if (claim.size !== head.size || claim.root !== head.root)
    return no("it is about another head than the signed one");
  const { size, root } = head;
  const holds = checkInclusion({ line, sequence, size, root, proof: claim.proof });
  if (!holds) return no(`the line is not entry ${sequence} of the log that was signed`);
  return { file, holds, says: `the line is entry ${sequence} of the log that was signed` };
}

async function checkedSince(
  folder: string,
  file: string,
  from: number,
  to: number,
  { head }: { head: SignedHead },
): Promise<CheckedProof> {
  const no = (says: string): CheckedProof => ({ file, holds: false, says });
  const read = await readClaim(folder, file, "samescale consistency proof 1");
  if ("fault" in read) return no(read.fault);
  const { claim } = read;
  if (claim.from !== from || claim.to !== to) return no("it is about other sizes than its name says");
  if (to !== head.size || claim.toRoot !== head.root)
    return no("it is about another head than the signed one");
  const fromRoot = String(claim.fromRoot);
  if (!checkConsistency({ from, fromRoot, to, toRoot: head.root, proof: claim.proof })) {
    return no(`the log of ${from} entries with the root ${fromRoot} is not the beginning of the signed one`);
  }
  const says = `the log of ${from} entries with the root ${fromRoot} is the beginning of the signed one`;
  return { file, holds: true, says };
}

type Claim = { readonly proof: readonly string[]; readonly [field: string]: unknown };

async function readClaim(
  folder: string,
  name: string,
  form: string,
): Promise<{ claim: Claim } | { fault: string }> {
  const text = await readPlain(join(folder, name), MOST_PROOF_BYTES);
  if (text === null) return { fault: "is a link, no plain file, or too long to be a proof" };
  try {
    const claim = JSON.parse(text.toString("utf8")) as Claim;
    const isProof = Array.isArray(claim?.proof) && claim.proof.every((hash) => typeof hash === "string");
    return claim?.form === form && isProof
      ? { claim }
      : { fault: `is not a proof: expected the form "${form}"` };
  } catch {
    return { fault: "is cut short or is not JSON" };
  }
}

/** Null: not there, a link, not a plain file, or longer than that. */
async function readPlain(path: string, most: number): Promise<Buffer | null> {
  try {
    if (!(await lstat(path)).isFile()) return null; // a pipe would make the opening wait
    const handle = await open(path, constants.O_RDONLY | (constants.O_NOFOLLOW ?? 0));
    try {
      const { size } = await handle.stat();
      return size > most ? null : await handle.readFile();
    } finally {
      await handle.close();
    }
  } catch {
    return null;
  }
}

const unreadable = (what: string, why: string) =>
  new SamescaleError(
    "PROOFS_UNREADABLE",
    `Nothing was proved: ${what} ${why}`,
    "Name a folder that `samescale custody prove` has written, whole.",
  );
