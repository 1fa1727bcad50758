import { SamescaleError } from "@samescale/errors";
import {
  type PublicKey,
  publicKeysOf,
  type SignedHead,
  signedHeadsOf,
  type TimeStamp,
  timeStampsOf,
} from "@samescale/record";
import { type Actor, actorText, PHOTOGRAPHERS } from "../act/actor.ts";
import { isPlainText } from "../act/checks.ts";
import type { Desk } from "../desk.ts";

/** A new key takes over (docs/custody.md). `lost`: the one before cannot endorse it any more. */
export async function rotateSigningKey(
  desk: Desk,
  actor: Actor,
  { because, lost }: { readonly because: string; readonly lost: boolean },
): Promise<SignedHead> {
  const refuse = (why: string) =>
    new SamescaleError("ACT_REFUSED", why, "Nothing was changed. Put right what is named, then try again.");
  if (!PHOTOGRAPHERS.includes(actor.role)) throw refuse(`key.rotate: not for the role ${actor.role}`);
  if (!isPlainText(because)) throw refuse("A new key needs a reason");
  return desk.library.rotateKey(actorText(actor), because, lost);
}

/** What was signed so far, and by which keys. */
export async function signatures({ library }: Desk): Promise<{
  readonly keys: readonly PublicKey[];
  readonly heads: readonly SignedHead[];
  readonly stamps: readonly TimeStamp[];
}> {
  const [keys, heads, stamps] = [
    await publicKeysOf(library.read),
    await signedHeadsOf(library.read),
    await timeStampsOf(library.read),
  ];
  return { keys, heads, stamps };
}
