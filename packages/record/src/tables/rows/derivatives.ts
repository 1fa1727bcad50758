import type { Fixed } from "./fixed.ts";

/** Anything made from originals: it says from what, and how, so that it can be made again. */
export interface DerivativeTable {
  id: Fixed<string>;
  frame_id: Fixed<string | null>;
  request_id: Fixed<string | null>;
  /** JSON: step, version, parameters. */
  recipe: Fixed<string>;
  /** JSON list of SHA-256: originals or other derivatives. */
  inputs: Fixed<string>;
  /** JSON: the result. */
  body: Fixed<string>;
  /** Of the canonical `body`: what other derivatives name as their input. */
  sha256: Fixed<string>;
  made_at: Fixed<string>;
}

/**
 * `picture`: a thumbnail, preview or masked picture; its body names the bytes, which lie in the store of derived
 * pictures. `mask`: what a person confirmed must not be seen when a frame leaves.
 */
export type DerivativeKind =
  | "reading"
  | "outline"
  | "measurement"
  | "series"
  | "verdict"
  | "picture"
  | "mask";

export const DERIVATIVE_KINDS: readonly DerivativeKind[] = [
  "reading",
  "outline",
  "measurement",
  "series",
  "verdict",
  "picture",
  "mask",
];
