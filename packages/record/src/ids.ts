import { randomBytes } from "node:crypto";

/** Crockford's base 32: no I, L, O, U. */
const DIGITS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";

/**
 * Ids that sort by the time they were made: 48 bits of milliseconds and 80 random bits, 26 characters (the ULID
 * form). Two of the same millisecond sort by chance.
 */
export function newIdsFrom(
  clock: () => Date,
  random: (bytes: number) => Uint8Array = randomBytes,
): () => string {
  return () => {
    let bits = BigInt(clock().getTime());
    for (const byte of random(10)) bits = (bits << 8n) | BigInt(byte);
    let text = "";
    for (let digit = 0; digit < 26; digit++) {
      text = DIGITS[Number(bits & 31n)] + text;
      bits >>= 5n;
    }
    return text;
  };
}
