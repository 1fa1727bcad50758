import type { Fixed } from "./fixed.ts";

/** The custody log (custody/chain.ts). Rows are added, never changed. */
export interface ActTable {
  sequence: Fixed<number>;
  time: Fixed<string>;
  actor: Fixed<string>;
  act: Fixed<string>;
  subject: Fixed<string>;
  details: Fixed<string>;
  previous: Fixed<string>;
  hash: Fixed<string>;
}

/** Complete subtrees of the Merkle tree over the log's lines: level 0 holds its leaves. Rows are added, never changed. */
export interface TreeNodeTable {
  level: Fixed<number>;
  position: Fixed<number>;
  hash: Fixed<string>;
}

/** A key that signs heads. Its public part stays for ever; the private part is a file elsewhere. */
export interface SigningKeyTable {
  /** SHA-256 of the public key in DER form. */
  id: Fixed<string>;
  public_key: Fixed<string>;
  made_at: Fixed<string>;
  /** Signature of the key before over this one; null for the first. */
  endorsed_by: Fixed<string | null>;
  endorsement: Fixed<string | null>;
  retired_at: string | null;
}

/** A signed head of the tree. Rows are added, never changed. */
export interface SignedHeadTable {
  size: Fixed<number>;
  root: Fixed<string>;
  /** Hash of the log's last line at that size. */
  hash: Fixed<string>;
  time: Fixed<string>;
  key_id: Fixed<string>;
  signature: Fixed<string>;
}

/** What a time-stamping authority says of a signed head (RFC 3161). Rows are added, never changed. */
export interface TimeStampTable {
  id: Fixed<string>;
  size: Fixed<number>;
  /** The reply, DER in base 64. */
  reply: Fixed<string>;
  made_at: Fixed<string>;
}
