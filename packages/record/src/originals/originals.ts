import type { SamescaleError } from "@samescale/errors";

/** Where the bytes come from. `read` may be called again to read from the start. */
export interface Source {
  /** For messages. */
  readonly name: string;
  read(): AsyncIterable<Uint8Array>;
}

export interface PutOptions {
  /** The SHA-256 it had when last seen: when that original is here, the source is only hashed, not copied. */
  readonly expected?: string;
  readonly signal?: AbortSignal;
  /** Told of every piece read from the source. */
  readonly onBytes?: (bytes: number) => void;
}

/**
 * `stored` and `already` both mean: it is here under its hash, it is on the disk, and it was read back and
 * compared in this call. `unreadable`: the source failed; nothing was kept.
 */
export type Put =
  | { readonly state: "stored" | "already"; readonly sha256: string; readonly bytes: number }
  | { readonly state: "unreadable"; readonly error: SamescaleError };

/** What lies in the store: an original, or something that has no business there. */
export type Listed =
  | { readonly kind: "original"; readonly sha256: string; readonly bytes: number }
  | { readonly kind: "stray"; readonly path: string; readonly why: string };

/**
 * Camera files, byte for byte, named by their SHA-256 and never changed. A port: a folder today, an object
 * store later; `originalsContract` in the tests says what every adapter must do.
 */
export interface Originals {
  /**
   * Safe to call for the same bytes at once, also from two processes, and to be killed at any moment.
   *
   * @throws SamescaleError DISK_FULL and other faults of the store; ORIGINAL_DAMAGED when the store's own copy
   *   is not what its name says; ORIGINAL_NOT_VERIFIED when what was read back differs from what was written;
   *   the signal's reason when aborted. Nothing half-written stays.
   */
  put(source: Source, options?: PutOptions): Promise<Put>;
  /** @throws SamescaleError ORIGINAL_MISSING */
  open(sha256: string): AsyncIterable<Uint8Array>;
  has(sha256: string): Promise<boolean>;
  list(): AsyncIterable<Listed>;
  /** Hash of what lies under this name now, null when nothing does. */
  rehash(sha256: string, signal?: AbortSignal): Promise<string | null>;
  /** A path that programs can read it from; do not write there. */
  localFile(sha256: string): Promise<string>;
  /**
   * Removes the bytes under this name for good, and waits until the disk knows it; false when nothing was there. Only
   * for what the record says was destroyed: it asks nobody.
   */
  destroy(sha256: string): Promise<boolean>;
  /** Removes what killed runs left behind; nothing that a living run is writing. Returns how many. */
  sweep(): Promise<number>;
}
