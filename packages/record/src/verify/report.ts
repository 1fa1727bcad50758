import type { Head } from "../custody/chain.ts";
import type { SignedHead } from "../custody/heads/signed-head.ts";

/** One thing that does not hold, named. */
export interface Fault {
  readonly where:
    | "database"
    | "log"
    | "tree"
    | "key"
    | "head"
    | "time-stamp"
    | "row"
    | "derivative"
    | "original"
    | "derived"
    | "copy"
    | "file";
  /** `entry 17`, `frame/01J…`, a SHA-256 or a path. */
  readonly subject: string;
  readonly fault: string;
}

export interface VerifyCounts {
  readonly originals: number;
  readonly bytes: number;
  readonly entries: number;
  readonly rows: number;
  readonly derivatives: number;
  /** Thumbnails, previews and masked pictures. */
  readonly derived: number;
  /** Second copies that could be reached. */
  readonly copies: number;
  readonly signedHeads: number;
  readonly timeStamps: number;
  readonly faults: number;
  /** What is no fault and still should be known, one sentence each: destroyed originals, copies out of reach, keys that nobody endorses. */
  readonly notes: readonly string[];
  /** Write it down elsewhere: it proves later that the log up to here was not cut. */
  readonly head: Head;
}

export interface VerifyOptions {
  /** A head kept elsewhere. The one beside the database is checked in any case. */
  readonly kept?: Head;
  /** A signed head kept elsewhere, and the public key that came with it. */
  readonly keptSigned?: { readonly head: SignedHead; readonly publicKey: string };
  readonly signal?: AbortSignal;
  readonly onProgress?: (done: {
    readonly originals: number;
    readonly of: number;
    readonly bytes: number;
  }) => void;
}

/** Where the parts of a check put what they find. */
export interface Findings {
  readonly faults: Fault[];
  readonly notes: string[];
}
