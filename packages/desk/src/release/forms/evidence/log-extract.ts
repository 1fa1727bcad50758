import {
  type Entry,
  endorsementText,
  entriesOf,
  exportedLine,
  inclusionProof,
  publicKeysOf,
  type SignedHead,
  signedHeadsOf,
  signedHeadText,
  timeStampsOf,
} from "@samescale/record";
import type { FormContext } from "../../form.ts";
import { octalOf, proofSteps } from "./proof-steps.ts";

type Reading = NonNullable<FormContext["evidence"]>;

/** One line of the custody log that goes along. */
export interface ExtractedLine {
  readonly sequence: number;
  readonly line: string;
}

export interface LogExtract {
  readonly lines: readonly ExtractedLine[];
  /** Entries about somebody else that touch one of these rows: they stay at home. */
  readonly leftOut: number;
}

/**
 * The log's lines about these rows. Rows of others that such an act touched as well (a card with two patients) stand in its
 * line by identifier and seal only. An entry about somebody else that touches one of these rows is left out and counted.
 * @param names rows as the log names them: `frame/…`, `request/…`
 */
export async function logExtract(
  evidence: Reading,
  names: ReadonlySet<string>,
  upTo: number,
): Promise<LogExtract> {
  const lines: ExtractedLine[] = [];
  let leftOut = 0;
  for await (const candidate of entriesOf(evidence.read)) {
    const entry = candidate as Entry;
    if (entry.sequence > upTo) break;
    const rows = sealedRows(entry);
    const isOurs = names.has(entry.subject) || (rows.length > 0 && rows.every((row) => names.has(row)));
    if (isOurs) lines.push({ sequence: entry.sequence, line: exportedLine(entry) });
    else if (rows.some((row) => names.has(row))) leftOut += 1;
  }
  return { lines, leftOut };
}

function sealedRows({ details }: Entry): readonly string[] {
  const { rows } = details ?? {};
  return typeof rows === "object" && rows !== null ? Object.keys(rows) : [];
}

/** A signed head with what belongs to it. */
export interface HeadOfBag {
  readonly head: SignedHead;
  readonly text: string;
  readonly signature: Uint8Array;
  readonly timeStamp: Uint8Array | null;
  /** One line for each line of the log that it covers: its number, then the steps to the root. */
  readonly proofs: string;
}

/** The present head, signed, and the newest one that an authority has stamped, where there is another. */
export async function headsOfBag(
  evidence: Reading,
  present: SignedHead,
  { lines }: LogExtract,
): Promise<HeadOfBag[]> {
  const stamps = new Map((await timeStampsOf(evidence.read)).map((stamp) => [stamp.size, stamp.reply]));
  const signed = await signedHeadsOf(evidence.read);
  const stamped = signed.findLast(({ size }) => stamps.has(size));
  const heads = stamped === undefined || stamped.size === present.size ? [present] : [stamped, present];
  return await Promise.all(
    heads.map(async (head) => ({
      head,
      text: signedHeadText(head),
      signature: Buffer.from(head.signature, "base64"),
      timeStamp: stamps.get(head.size) ?? null,
      proofs: await proofsOf(evidence, head, lines),
    })),
  );
}

async function proofsOf(
  { read }: Reading,
  head: SignedHead,
  lines: readonly ExtractedLine[],
): Promise<string> {
  let text = "";
  for (const { sequence } of lines) {
    if (sequence > head.size) continue;
    const steps = proofSteps(sequence, head.size, await inclusionProof(read, sequence, head.size));
    text += `${lineName(sequence)} ${steps.map(({ side, hash }) => `${side} ${octalOf(hash)}`).join(" ")}\n`;
  }
  return text;
}

/** Sorts as the log does. */
export const lineName = (sequence: number): string => String(sequence).padStart(9, "0");

/** Files of the public keys, first to last, each after the first with what the key before signed about it. */
export async function keyFiles(
  evidence: Reading,
): Promise<readonly (readonly [name: string, bytes: Uint8Array])[]> {
  const keys = await publicKeysOf(evidence.read);
  return keys.flatMap((key) => {
    const files: [string, Uint8Array][] = [[`${key.id}.pem`, Buffer.from(key.pem)]];
    if (key.endorsedBy !== null && key.endorsement !== null) {
      files.push([`${key.id}.endorsement.txt`, Buffer.from(endorsementText(key, key.endorsedBy))]);
      files.push([`${key.id}.endorsement.sig`, Buffer.from(key.endorsement, "base64")]);
    }
    return files;
  });
}
