import { SamescaleError } from "@samescale/errors";

/** SHA-256 in lower case: the only names that a store knows. */
export const ORIGINAL_NAME = /^[0-9a-f]{64}$/;

export function missing(sha256: string): SamescaleError {
  return new SamescaleError(
    "ORIGINAL_MISSING",
    `There is no original ${sha256} in the library`,
    "Run `samescale verify`; take the card in again, or restore the file from the backup.",
  );
}
