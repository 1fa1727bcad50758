import { SamescaleError } from "@samescale/errors";
import type { SignedHead } from "@samescale/record";
import type { Desk } from "../desk.ts";

export type SignedOrWhy = { readonly signed: SignedHead } | { readonly notSigned: string };

/**
 * Signs the present head after something that is worth it: an intake, a release. What was done stands without a
 * signature as well, so a key that is missing or too open is told, not thrown.
 */
export async function signedOrWhy(desk: Desk): Promise<SignedOrWhy> {
  try {
    return { signed: await desk.library.signHead() };
  } catch (thrown) {
    if (thrown instanceof SamescaleError && KEY_FAULTS.has(thrown.code)) {
      return { notSigned: `${thrown.message}. ${thrown.help}` };
    }
    throw thrown;
  }
}

const KEY_FAULTS: ReadonlySet<string> = new Set([
  "KEY_MISSING",
  "KEY_TOO_OPEN",
  "KEY_UNREADABLE",
  "LIBRARY_READ_ONLY",
]);
