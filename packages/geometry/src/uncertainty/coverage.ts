/** The normal distribution's factor for 95 %. */
const NORMAL_95 = 1.959963984540054;

/** Student's t for 95 % at 1 and 2 degrees of freedom, where closed forms exist and the series below does not converge. */
const T_ONE = Math.tan((Math.PI / 2) * 0.95);
const T_TWO = 0.95 * Math.sqrt(2 / (1 - 0.95 ** 2));

/**
 * Coverage factor for a 95 % interval: 1.96 where the uncertainty is known, Student's t where it was estimated
 * with few degrees of freedom (cut to a whole number, never below 1). From 3 degrees on by series, within 0.2 %.
 * @source JCGM100 annex G, table G.2; AbramowitzStegun1964 26.7.5
 */
export function coverageFactor95(degreesOfFreedom = Infinity): number {
  if (degreesOfFreedom === Infinity) return NORMAL_95;
  const nu = Math.max(1, Math.floor(degreesOfFreedom + 1e-9));
  if (nu === 1) return T_ONE;
  if (nu === 2) return T_TWO;
  const z = NORMAL_95;
  const terms = [
    (z ** 3 + z) / 4,
    (5 * z ** 5 + 16 * z ** 3 + 3 * z) / 96,
    (3 * z ** 7 + 19 * z ** 5 + 17 * z ** 3 - 15 * z) / 384,
    (79 * z ** 9 + 776 * z ** 7 + 1482 * z ** 5 - 1920 * z ** 3 - 945 * z) / 92160,
  ];
  return terms.reduce((t, term, i) => t + term / nu ** (i + 1), z);
}
