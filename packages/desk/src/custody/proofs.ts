import { SamescaleError } from "@samescale/errors";
import {
  consistencyProof,
  type Entry,
  exportedLine,
  inclusionProof,
  type PublicKey,
  publicKeysOf,
  rootAt,
  type SignedHead,
  signedHeadFile,
  treeHead,
} from "@samescale/record";
import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import { HOW_TO_CHECK } from "./how-to-check.ts";
import { entriesOn, entryAt, mustReadLog, subjectOf } from "./read-log.ts";

/** What is to be proved: single entries, or all that are about something (`frame/01J…`). */
export interface ProofsWanted {
  readonly entries: readonly number[];
  readonly subjects: readonly string[];
  /** Also that the log of this many entries is the beginning of the present one. */
  readonly since: number | null;
}

/** A file of proofs: they are plain text, and can be checked without this program. */
export interface ProofFile {
  readonly name: string;
  readonly text: string;
}

/**
 * The lines of entries, their inclusion proofs in the present log, its signed head, and how to check all of it with
 * `sha256sum` and `openssl`.
 *
 * @throws SamescaleError ACT_REFUSED, BAD_SUBJECT, ENTRY_MISSING, and as `signHead`
 */
export async function proofFiles(desk: Desk, actor: Actor, wanted: ProofsWanted): Promise<ProofFile[]> {
  mustReadLog(actor);
  const { read } = desk.library;
  const entries = await entriesOn(read, wanted.subjects.map(subjectOf));
  for (const sequence of wanted.entries) {
    const entry = await entryAt(read, sequence);
    if (entry === null) throw await noEntry(desk, `entry ${sequence}`);
    if (!entries.some((one) => one.sequence === sequence)) entries.push(entry);
  }
  if (entries.length === 0 && wanted.since === null) {
    throw await noEntry(desk, `entry about ${wanted.subjects.join(", ")}`);
  }
  const { head, key } = await presentHead(desk);
  const files: ProofFile[] = [
    { name: "HOW-TO-CHECK.txt", text: HOW_TO_CHECK },
    { name: "signed-head.txt", text: signedHeadFile(head, key.pem) },
  ];
  for (const entry of entries) files.push(...(await inclusionFiles(desk, entry, head)));
  if (wanted.since !== null) files.push(await consistencyFile(desk, wanted.since, head));
  return files;
}

/** The present head, signed, and the public key to check it with. */
async function presentHead(desk: Desk): Promise<{ head: SignedHead; key: PublicKey }> {
  const head = await desk.library.signHead();
  const key = (await publicKeysOf(desk.library.read)).find(({ id }) => id === head.keyId);
  if (key !== undefined) return { head, key };
  throw new SamescaleError(
    "KEY_MISSING",
    `Head ${head.size} is signed by ${head.keyId}, which this library does not know`,
    "Run `samescale verify`, which says what else is wrong.",
  );
}

async function inclusionFiles(desk: Desk, entry: Entry, head: SignedHead): Promise<ProofFile[]> {
  const { sequence } = entry;
  const proof = await inclusionProof(desk.library.read, sequence, head.size);
  const claim = { form: "samescale inclusion proof 1", sequence, size: head.size, root: head.root, proof };
  return [
    { name: `entry-${sequence}.line`, text: exportedLine(entry) },
    { name: `entry-${sequence}.json`, text: jsonFile(claim) },
  ];
}

async function consistencyFile(desk: Desk, from: number, head: SignedHead): Promise<ProofFile> {
  const { read } = desk.library;
  if (from < 1) throw await noEntry(desk, `entry ${from}`);
  const proof = await consistencyProof(read, from, head.size);
  const fromRoot = await rootAt(read, from);
  const claim = {
    form: "samescale consistency proof 1",
    from,
    fromRoot,
    to: head.size,
    toRoot: head.root,
    proof,
  };
  return { name: `consistency-${from}-${head.size}.json`, text: jsonFile(claim) };
}

/** One hash on a line: `sed` takes them out (docs/custody.md). */
const jsonFile = (claim: object): string => `${JSON.stringify(claim, null, 1)}\n`;

async function noEntry(desk: Desk, what: string): Promise<SamescaleError> {
  const { size } = await treeHead(desk.library.read);
  return new SamescaleError(
    "ENTRY_MISSING",
    `The custody log has no ${what}: it has ${size} entries`,
    "Name an entry by its number, as `samescale custody show` prints it.",
  );
}
