import fc from "fast-check";

/**
 * A number between two, every part of the range alike, and now and then an end itself. (A double drawn by its bits falls near
 * zero half of the time, where nothing interesting happens.)
 */
export const within = (min: number, max: number): fc.Arbitrary<number> =>
  fc.oneof(
    { weight: 1, arbitrary: fc.constantFrom(min, max) },
    {
      weight: 15,
      arbitrary: fc.integer({ min: 0, max: 2 ** 31 - 1 }).map((k) => min + ((max - min) * k) / (2 ** 31 - 1)),
    },
  );
