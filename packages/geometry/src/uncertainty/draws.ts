/** A way to draw one value of an uncertain input. `random` gives numbers in [0, 1). */
export type Draw = (random: () => number) => number;

/**
 * Standard uncertainty of a quantity known only to lie within ± `halfWidth`, every value alike: a / √3.
 * @source JCGM100 §4.3.7
 */
export const standardFromHalfWidth = (halfWidth: number): number => halfWidth / Math.sqrt(3);

/**
 * Standard uncertainty of a quantity within ± `halfWidth`, the middle likelier than the ends (triangle): a / √6.
 * @source JCGM100 §4.3.9
 */
export const standardFromTriangle = (halfWidth: number): number => halfWidth / Math.sqrt(6);

/** Normal: `mean`, standard uncertainty `u`. Box and Muller's method, one of its pair. @source JCGM101 §6.4.7 */
export function normal(mean: number, u: number): Draw {
  return (random) => {
    // 1 - r lies in (0, 1], so the logarithm is finite.
    const radius = Math.sqrt(-2 * Math.log(1 - random()));
    return mean + u * radius * Math.cos(2 * Math.PI * random());
  };
}

/** Every value within `centre` ± `halfWidth` alike. @source JCGM101 §6.4.2 */
export function rectangular(centre: number, halfWidth: number): Draw {
  return (random) => centre + halfWidth * (2 * random() - 1);
}

/** Symmetric triangle over `centre` ± `halfWidth`: the sum of two rectangular halves. @source JCGM101 §6.4.5 */
export function triangular(centre: number, halfWidth: number): Draw {
  return (random) => centre + halfWidth * (random() + random() - 1);
}
