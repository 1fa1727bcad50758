import { generateKeyPairSync, type KeyObject } from "node:crypto";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { sha256Of } from "../../../src/custody/canonical.ts";
import { EMPTY_HEAD, type Entry, follow, lineOf } from "../../../src/custody/chain.ts";
import {
  endorsementText,
  keyIdOf,
  type PublicKey,
  publicPemOf,
  signatureOver,
} from "../../../src/custody/heads/keys.ts";
import { type SignedHead, signedHeadFile, signedHeadText } from "../../../src/custody/heads/signed-head.ts";
import { literalLeaf, literalPath, literalProof, mth } from "../tree/rfc6962.ts";
import type { Forged } from "./forged.ts";

/** Writes the fixtures of this folder anew. They are checked in: run by hand when their form changes. */

const at = (minute: number) => new Date(Date.UTC(2026, 2, 15, 9, minute)).toISOString();

function logOf(names: readonly string[]): string[] {
  let head = EMPTY_HEAD;
  return names.map((subject, i) => {
    const entry: Entry = follow(head, {
      time: at(i),
      actor: "photographer:mara",
      act: i === 0 ? "library.make" : "file.store",
      subject,
      details: { rows: {} },
    });
    head = { sequence: entry.sequence, hash: entry.hash };
    return lineOf(entry);
  });
}

const leaves = (lines: readonly string[]) => lines.map((line) => literalLeaf(Buffer.from(line)));
const rootOf = (lines: readonly string[]) => mth(leaves(lines)).toString("hex");
const hex = (hashes: readonly Buffer[]) => hashes.map((hash) => hash.toString("hex"));

function signed(lines: readonly string[], minute: number, key: KeyObject): SignedHead {
  const hash = sha256Of(lines.at(-1) ?? "");
  const head = { size: lines.length, root: rootOf(lines), hash, time: at(minute), keyId: keyIdOf(key) };
  return { ...head, signature: signatureOver(signedHeadText(head), key) };
}

function publicKey(key: KeyObject, minute: number, by: KeyObject | null): PublicKey {
  const named = { id: keyIdOf(key), madeAt: at(minute) };
  return {
    ...named,
    pem: publicPemOf(key),
    endorsedBy: by && keyIdOf(by),
    endorsement: by && signatureOver(endorsementText(named, keyIdOf(by)), by),
    retiredAt: null,
  };
}

const [first, second, stranger] = [0, 1, 2].map(() => generateKeyPairSync("ed25519").privateKey) as [
  KeyObject,
  KeyObject,
  KeyObject,
];
const subjects = ["library/one", "file/a", "file/b", "file/c", "file/d", "file/e"];
const log = logOf(subjects);
const keys = [publicKey(first, 1, null), publicKey(second, 4, first)];
const heads = [signed(log.slice(0, 4), 4, first), signed(log, 6, second)];
const kept = signedHeadFile(heads[1] as SignedHead, keys[1]?.pem ?? "");
const root = rootOf(log);
const inclusion = {
  line: log[2] as string,
  sequence: 3,
  size: 6,
  root,
  proof: hex(literalPath(2, leaves(log))),
};
const consistency = {
  from: 4,
  fromRoot: rootOf(log.slice(0, 4)),
  to: 6,
  toRoot: root,
  proof: hex(literalProof(4, leaves(log))),
};
const whole = { log, keys, heads, kept, inclusion, consistency };

function write(name: string, why: string, change: Partial<Forged>, faults: readonly string[]): void {
  const fixture: Forged = { why, faults, ...whole, ...change };
  writeFileSync(join(import.meta.dirname, `${name}.json`), `${JSON.stringify(fixture, null, 2)}\n`);
}

const OVER_ROOT = "was signed over the root";
const OVER_LINE = "was signed over the last line";
const altered = log.with(3, (log[3] as string).replace("mara", "dora"));
const others = logOf(["library/two", ...subjects.slice(1)]);
const otherHead = signed(others, 6, stranger);

write("untouched", "Nothing was forged: everything holds.", {}, []);
write("removed", "The third line was taken out.", { log: log.toSpliced(2, 1) }, [
  "entry 4: stands where entry 3 belongs",
  "entry 4: does not follow the entry before it",
  `head 4: ${OVER_ROOT}`,
  `head 4: ${OVER_LINE}`,
  "head 6: was signed over 6 entries, the log ends with entry 5",
  "kept 6: was signed over 6 entries, the log ends with entry 5",
]);
write(
  "swapped",
  "The second and the third line changed places.",
  {
    log: [log[0], log[2], log[1], ...log.slice(3)] as string[],
  },
  [
    "entry 3: stands where entry 2 belongs",
    "entry 3: does not follow the entry before it",
    "entry 2: stands where entry 4 belongs",
    "entry 2: does not follow the entry before it",
    "entry 4: stands where entry 3 belongs",
    "entry 4: does not follow the entry before it",
    `head 4: ${OVER_ROOT}`,
    `head 6: ${OVER_ROOT}`,
    `kept 6: ${OVER_ROOT}`,
  ],
);
write("altered", "In the fourth line another person stands for the one who did it.", { log: altered }, [
  "entry 5: does not follow the entry before it",
  `head 4: ${OVER_ROOT}`,
  `head 4: ${OVER_LINE}`,
  `head 6: ${OVER_ROOT}`,
  `kept 6: ${OVER_ROOT}`,
]);
write(
  "tail-cut",
  "The last two lines were cut off, and the signed head over them was removed as well.",
  {
    log: log.slice(0, 4),
    heads: heads.slice(0, 1),
  },
  ["kept 6: was signed over 6 entries, the log ends with entry 4"],
);
write(
  "head-of-another-log",
  "Beside the log lies the signed head of another one.",
  {
    heads: [...heads.slice(0, 1), otherHead],
  },
  [
    `head 6: is signed by ${otherHead.keyId}, which is no key of this library`,
    `head 6: ${OVER_ROOT}`,
    `head 6: ${OVER_LINE}`,
  ],
);
write("replayed", "The second line was written once more at the end.", { log: [...log, log[1] as string] }, [
  "entry 2: stands where entry 7 belongs",
  "entry 2: does not follow the entry before it",
]);
write(
  "replayed-head",
  "A head that was signed earlier was given out as the present one, with its size changed.",
  {
    heads: [heads[0] as SignedHead, { ...(heads[0] as SignedHead), size: 6 }],
  },
  ["head 6: its signature does not fit what it says", `head 6: ${OVER_ROOT}`, `head 6: ${OVER_LINE}`],
);
write(
  "trailing-garbage",
  "Behind the last line stands something that is no entry.",
  { log: [...log, "garbage\n"] },
  ["entry 7: is not an entry of a custody log"],
);
write(
  "signed-by-another-key",
  "A stranger signed the right head with a key of their own and named ours.",
  {
    heads: [
      heads[0] as SignedHead,
      {
        ...(heads[1] as SignedHead),
        signature: signatureOver(signedHeadText(heads[1] as SignedHead), stranger),
      },
    ],
  },
  ["head 6: its signature does not fit what it says"],
);
write(
  "wrong-proof",
  "The proof is that of another line, and the older root is not that of the log's beginning.",
  {
    inclusion: { ...inclusion, sequence: 4, proof: hex(literalPath(3, leaves(log))) },
    consistency: { ...consistency, fromRoot: rootOf(others.slice(0, 4)) },
  },
  ["inclusion: the line is not entry 4", "consistency: the older log is not the beginning"],
);
write(
  "endorsement-missing",
  "A stranger's key stands as the second one; nobody endorsed it.",
  {
    keys: [keys[0] as PublicKey, publicKey(stranger, 4, null)],
    heads: [heads[0] as SignedHead, signed(log, 6, stranger)],
    kept: null,
  },
  [`key ${keyIdOf(stranger)}: is not endorsed by the key before it`],
);
write(
  "endorsement-forged",
  "A stranger's key endorses itself in the name of the first.",
  {
    keys: [keys[0] as PublicKey, { ...publicKey(stranger, 4, stranger), endorsedBy: keyIdOf(first) }],
    heads: [heads[0] as SignedHead, signed(log, 6, stranger)],
    kept: null,
  },
  [`key ${keyIdOf(stranger)}: is endorsed by a signature that does not fit`],
);
