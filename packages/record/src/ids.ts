import { randomBytes } from "node:crypto";

/** Crockford's base 32: no I, L, O, U. */
const DIGITS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";

/**
 * Ids that sort by the time they were made: 48 bits of milliseconds and 80 random bits, 26 characters (the ULID
 * form). One program's ids of the same millisecond sort in the order in which they were made, those of several by chance.
 */
export function newIdsFrom(
  clock: () => Date,
  random: (bytes: number) => Uint8Array = randomBytes,
): () => string {
  let last = { ms: Number.NaN, chance: 0n };
  return () => {
    const ms = clock().getTime();
    // Within a millisecond each is larger than the one before, by a step that nobody can guess.
    const chance =
      ms === last.ms ? last.chance + 1n + numberOf(random(STEP_BYTES)) : numberOf(random(CHANCE_BYTES));
    last = { ms, chance };
    return textOf((BigInt(ms) << 80n) | (chance & MOST_CHANCE));
  };
}

const CHANCE_BYTES = 10;
const STEP_BYTES = 4;
const MOST_CHANCE = (1n << 80n) - 1n;

function numberOf(bytes: Uint8Array): bigint {
  let number = 0n;
  for (const byte of bytes) number = (number << 8n) | BigInt(byte);
  return number;
}

function textOf(bits: bigint): string {
  let text = "";
  for (let digit = 0; digit < 26; digit++) text = DIGITS[Number((bits >> BigInt(5 * digit)) & 31n)] + text;
  return text;
}
