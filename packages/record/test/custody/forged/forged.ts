import type { PublicKey } from "../../../src/custody/heads/keys.ts";
import type { SignedHead } from "../../../src/custody/heads/signed-head.ts";
import type { ConsistencyClaim, InclusionClaim } from "../../../src/custody/tree/check.ts";

/** A log with what was signed over it, and what is wrong with it. */
export interface Forged {
  readonly why: string;
  /** Every fault, as `what: part of the sentence`. */
  readonly faults: readonly string[];
  /** Lines with their line feeds, as exported. */
  readonly log: readonly string[];
  readonly keys: readonly PublicKey[];
  readonly heads: readonly SignedHead[];
  /** A signed head kept elsewhere, as a file; null: nobody kept one. */
  readonly kept: string | null;
  readonly inclusion: InclusionClaim & { readonly line: string };
  readonly consistency: ConsistencyClaim;
}
