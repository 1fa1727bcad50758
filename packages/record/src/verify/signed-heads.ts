import type { Kysely } from "kysely";
import { endorsementFault, keyIdOf, type PublicKey, publicKeysOf } from "../custody/heads/keys.ts";
import { KEY_REPLACED, signedHeadsOf } from "../custody/heads/sign.ts";
import { isSignedBy, type SignedHead, signedHeadText } from "../custody/heads/signed-head.ts";
import { readTimeStamp } from "../custody/time-stamp/reply.ts";
import { timeStampsOf } from "../custody/time-stamp/stored.ts";
import type { Schema } from "../tables/schema.ts";
import type { Fault, Findings, VerifyOptions } from "./report.ts";

/** What the lines of the log say: roots of the sizes that were asked for, hash of each such last line. */
export interface LogSays {
  readonly entries: number;
  readonly roots: ReadonlyMap<number, string>;
  readonly hashes: ReadonlyMap<number, string>;
  /** Keys of which the log tells that they follow a lost one. */
  readonly replaced: ReadonlySet<string>;
}

/** Sizes of which a root is needed: of all signed heads, and of one kept elsewhere. */
export async function signedSizes(
  db: Kysely<Schema>,
  kept: VerifyOptions["keptSigned"],
): Promise<Set<number>> {
  const rows = await db.selectFrom("signed_head").select("size").execute();
  return new Set([...rows.map(({ size }) => size), ...(kept ? [kept.head.size] : [])]);
}

/** Keys and their endorsements, signed heads against log and key, time stamps against signed heads. */
export async function signedHeadFindings(
  db: Kysely<Schema>,
  log: LogSays,
  kept: VerifyOptions["keptSigned"],
): Promise<Findings & { readonly signedHeads: number; readonly timeStamps: number }> {
  const keys = await publicKeysOf(db);
  const { faults, notes } = keyFindings(keys, log.replaced);
  const heads = await signedHeadsOf(db);
  for (const head of heads) {
    for (const fault of headFaults(head, keys, log)) {
      faults.push({ where: "head", subject: `signed head ${head.size}`, fault });
    }
  }
  if (kept !== undefined) faults.push(...keptFaults(kept, keys, log));
  const stamps = await timeStampsOf(db);
  for (const { id, size, reply } of stamps) {
    const head = heads.find((one) => one.size === size);
    const fault = head === undefined ? `there is no signed head ${size}` : await stampFault(reply, head);
    if (fault !== null) faults.push({ where: "time-stamp", subject: id, fault });
  }
  return { faults, notes, signedHeads: heads.length, timeStamps: stamps.length };
}

/** Why keys may not be trusted, and which of them stand alone by an act of the log. */
export function keyFindings(keys: readonly PublicKey[], replaced: ReadonlySet<string>): Findings {
  const faults: Fault[] = [];
  const notes: string[] = [];
  keys.forEach((key, at) => {
    const tell = (fault: string) => faults.push({ where: "key", subject: key.id, fault });
    if (!isKeyOf(key)) tell("its public key does not have the SHA-256 that it is named by");
    const fault = endorsementFault(key, keys[at - 1]);
    if (fault === null) return;
    if (key.endorsedBy === null && replaced.has(key.id)) {
      notes.push(`Key ${key.id} ${fault}: that one was lost (${key.madeAt})`);
    } else {
      tell(fault);
    }
  });
  return { faults, notes };
}

function isKeyOf(key: PublicKey): boolean {
  try {
    return keyIdOf(key.pem) === key.id;
  } catch {
    return false;
  }
}

/** Why a signed head does not stand, against the keys and the log; empty where it does. */
export function headFaults(head: SignedHead, keys: readonly PublicKey[], log: LogSays): string[] {
  const key = keys.find(({ id }) => id === head.keyId);
  const faults: string[] = [];
  if (key === undefined) {
    faults.push(`is signed by ${head.keyId}, which is no key of this library`);
  } else if (!isSignedBy(signedHeadText(head), head.signature, key.pem)) {
    faults.push("its signature does not fit what it says");
  }
  if (head.size > log.entries) {
    faults.push(`was signed over ${head.size} entries, the log ends with entry ${log.entries}`);
    return faults;
  }
  const root = log.roots.get(head.size);
  if (root !== head.root) faults.push(`was signed over the root ${head.root}, the log gives ${root}`);
  const hash = log.hashes.get(head.size);
  if (hash !== head.hash) faults.push(`was signed over the last line ${head.hash}, the log gives ${hash}`);
  return faults;
}

function keptFaults(
  { head, publicKey }: NonNullable<VerifyOptions["keptSigned"]>,
  keys: readonly PublicKey[],
  log: LogSays,
): Fault[] {
  const subject = `the signed head kept elsewhere, ${head.size}`;
  const faults = headFaults(head, keys, log);
  // Its own key is not believed for lying beside it: it must be one that the library has, or the fault above stands.
  if (!isSignedBy(signedHeadText(head), head.signature, publicKey)) {
    faults.push("is not signed by the key that lies in its own file");
  }
  return faults.map((fault) => ({ where: "head", subject, fault }));
}

async function stampFault(reply: Uint8Array, head: SignedHead): Promise<string | null> {
  try {
    await readTimeStamp(reply, Buffer.from(signedHeadText(head)), null);
    return null;
  } catch (thrown) {
    return (thrown as Error).message.replace(/^.*not kept: /, "");
  }
}

/** The act that tells of a key behind a lost one, as the log has it. */
export const replacedKey = (act: string, subject: string): string | null =>
  act === KEY_REPLACED ? subject.replace("signing_key/", "") : null;
