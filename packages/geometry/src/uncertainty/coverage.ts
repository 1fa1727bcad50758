const NORMAL_95 = 1.959963984540054;
const P = 0.95;
/** From here on the series below is exact to 1e-9; up to here the finite sum is short. */
const MANY = 100;

/**
 * Coverage factor for a 95 % interval: 1.96 where the uncertainty is known, Student's t where it was estimated
 * with few degrees of freedom, cut to a whole number and never below 1 (1 gives 12.71, 10 gives 2.228).
 * @source JCGM100 annex G.3, G.4.1, table G.2; AbramowitzStegun1964 26.7.3, 26.7.4, 26.7.5
 */
export function coverageFactor95(degreesOfFreedom = Infinity): number {
  // A billionth is forgiven: 16 worked out as 15.999999999 is 16.
  const nu = Math.max(1, Math.floor(degreesOfFreedom + 1e-9));
  if (nu === Infinity) return NORMAL_95;
  if (nu > MANY) return bySeries(nu);
  let [low, high] = [0, 20];
  while (high - low > 1e-13 * high) {
    const middle = (low + high) / 2;
    if (middle === low || middle === high) break;
    if (probabilityWithin(middle, nu) < P) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** Probability that |t| stays below a value: a finite sum in the angle atan(t / √ν). */
function probabilityWithin(t: number, nu: number): number {
  const angle = Math.atan(t / Math.sqrt(nu));
  const cosine = Math.cos(angle);
  const isOdd = nu % 2 === 1;
  let term = isOdd ? cosine : 1;
  let sum = nu === 1 ? 0 : term;
  for (let k = isOdd ? 3 : 2; k < nu; k += 2) {
    term *= ((k - 1) / k) * cosine * cosine;
    sum += term;
  }
  return isOdd ? (2 / Math.PI) * (angle + Math.sin(angle) * sum) : Math.sin(angle) * sum;
}

function bySeries(nu: number): number {
  const z = NORMAL_95;
  const terms = [
    (z ** 3 + z) / 4,
    (5 * z ** 5 + 16 * z ** 3 + 3 * z) / 96,
    (3 * z ** 7 + 19 * z ** 5 + 17 * z ** 3 - 15 * z) / 384,
  ];
  return terms.reduce((t, term, i) => t + term / nu ** (i + 1), z);
}
