import { SamescaleError } from "@samescale/errors";
import type { SignedHead } from "@samescale/record";
import type { Desk } from "../desk.ts";

export type SignedOrWhy = { readonly signed: SignedHead } | { readonly notSigned: string };

/**
 * Signs the present head after something that is worth it: an intake, a release. What was done stands without a
 * signature as well, so a key that is missing or too open, or a library that cannot be signed, is told, not thrown.
 */
export async function signedOrWhy(desk: Desk): Promise<SignedOrWhy> {
  try {
    return { signed: await desk.library.signHead() };
  } catch (thrown) {
    if (thrown instanceof SamescaleError) return { notSigned: `${thrown.message}. ${thrown.help}` };
    throw thrown;
  }
}
