import type { Head } from "../custody/chain.ts";

/** One thing that does not hold, named. */
export interface Fault {
  readonly where: "database" | "log" | "row" | "derivative" | "original";
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
  readonly faults: number;
  /** Write it down elsewhere: it proves later that the log up to here was not cut. */
  readonly head: Head;
}

export interface VerifyOptions {
  /** A head kept elsewhere. The one beside the database is checked in any case. */
  readonly kept?: Head;
  readonly signal?: AbortSignal;
  readonly onProgress?: (done: {
    readonly originals: number;
    readonly of: number;
    readonly bytes: number;
  }) => void;
}
