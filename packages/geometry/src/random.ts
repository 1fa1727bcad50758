/**
 * A small seeded random generator: the same seed gives the same numbers on every machine. 53-bit numbers in
 * [0, 1). Not for secrets.
 *
 * The generator is sfc32 (128 bits of state, of which 32 count, so no cycle is shorter than 2³²), started from
 * the seed by a 32-bit mixing function and run in for 15 rounds. Seeds are taken modulo 2³²; different
 * seeds give streams without visible relation.
 * @source DotyHumphrey2010 (sfc32)
 */
export function seededRandom(seed: number): () => number {
  let mix = seed >>> 0;
  const word = (): number => {
    mix = (mix + 0x9e3779b9) | 0;
    let z = mix ^ (mix >>> 16);
    z = Math.imul(z, 0x21f0aaad);
    z ^= z >>> 15;
    z = Math.imul(z, 0x735a2d97);
    return z ^ (z >>> 15);
  };
  let a = word();
  let b = word();
  let c = word();
  let counter = 1;
  const next = (): number => {
    const out = (((a + b) | 0) + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = ((c << 21) | (c >>> 11)) + out;
    c |= 0;
    return out >>> 0;
  };
  for (let i = 0; i < 15; i++) next();
  return () => ((next() >>> 5) * 67108864 + (next() >>> 6)) / 9007199254740992;
}
