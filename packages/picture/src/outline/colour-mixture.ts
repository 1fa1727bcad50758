/**
 * What colours occur in a set of pixels: a few Gaussian clusters in L*a*b*. Learnt afresh from each picture, so
 * nothing about any skin tone is built in. Clusters start by splitting the widest one along its main axis, never
 * at random: the same pixels always give the same mixture.
 *
 * @source OrchardBouman1991 (splitting), RotherKolmogorovBlake2004 (hard assignment of pixels to clusters)
 */
export interface ColourMixture {
  /** Per cluster: log weight and log normaliser together, mean (3), inverse covariance (6, upper triangle). */
  readonly terms: Float64Array;
  readonly clusters: number;
}

const TERM = 10;
/** Sensor noise and lossy coding move a colour by about 1.5 units: no cluster is narrower. */
const NOISE_VARIANCE = 1.5 ** 2;

interface Moments {
  n: number;
  readonly sum: Float64Array;
  readonly square: Float64Array;
}

/** @param member which cells of `lab` (interleaved) belong to the set */
export function learnMixture(
  lab: Float32Array,
  member: (cell: number) => boolean,
  cells: number,
  clusters: number,
): ColourMixture {
  const label = new Int8Array(cells).fill(-1);
  let total = 0;
  for (let i = 0; i < cells; i++) {
    if (!member(i)) continue;
    label[i] = 0;
    total++;
  }
  const groups: Moments[] = [momentsOf(lab, label, 0)];
  while (groups.length < clusters) {
    let widest = -1;
    let spread = 4 * NOISE_VARIANCE;
    let axis: readonly number[] = [1, 0, 0];
    groups.forEach((g, k) => {
      if (g.n < 8) return;
      const main = mainAxis(covariance(g));
      if (main.variance > spread) {
        widest = k;
        spread = main.variance;
        axis = main.axis;
      }
    });
    if (widest < 0) break;
    const g = groups[widest]!;
    const threshold = (axis[0]! * g.sum[0]! + axis[1]! * g.sum[1]! + axis[2]! * g.sum[2]!) / g.n;
    const fresh = groups.length;
    for (let i = 0; i < cells; i++) {
      if (label[i] !== widest) continue;
      const along = axis[0]! * lab[3 * i]! + axis[1]! * lab[3 * i + 1]! + axis[2]! * lab[3 * i + 2]!;
      if (along > threshold) label[i] = fresh;
    }
    groups[widest] = momentsOf(lab, label, widest);
    groups.push(momentsOf(lab, label, fresh));
  }
  const kept = groups.filter((g) => g.n > 0);
  const terms = new Float64Array(TERM * kept.length);
  kept.forEach((g, k) => {
    writeTerm(terms, TERM * k, g, total);
  });
  return { terms, clusters: kept.length };
}

/** Negative log likelihood of one colour, by its best cluster. */
export function surprise(mixture: ColourMixture, l: number, a: number, b: number): number {
  const { terms } = mixture;
  let best = 1e9;
  for (let k = 0; k < terms.length; k += TERM) {
    const dl = l - terms[k + 1]!;
    const da = a - terms[k + 2]!;
    const db = b - terms[k + 3]!;
    const mahalanobis =
      dl * (terms[k + 4]! * dl + 2 * terms[k + 5]! * da + 2 * terms[k + 6]! * db) +
      da * (terms[k + 7]! * da + 2 * terms[k + 8]! * db) +
      db * terms[k + 9]! * db;
    const cost = terms[k]! + 0.5 * mahalanobis;
    if (cost < best) best = cost;
  }
  return best;
}

function momentsOf(lab: Float32Array, label: Int8Array, k: number): Moments {
  const m: Moments = { n: 0, sum: new Float64Array(3), square: new Float64Array(6) };
  for (let i = 0; i < label.length; i++) {
    if (label[i] !== k) continue;
    const l = lab[3 * i]!;
    const a = lab[3 * i + 1]!;
    const b = lab[3 * i + 2]!;
    m.n++;
    m.sum[0] = m.sum[0]! + l;
    m.sum[1] = m.sum[1]! + a;
    m.sum[2] = m.sum[2]! + b;
    m.square[0] = m.square[0]! + l * l;
    m.square[1] = m.square[1]! + l * a;
    m.square[2] = m.square[2]! + l * b;
    m.square[3] = m.square[3]! + a * a;
    m.square[4] = m.square[4]! + a * b;
    m.square[5] = m.square[5]! + b * b;
  }
  return m;
}

/** Upper triangle ll, la, lb, aa, ab, bb. */
function covariance(m: Moments): number[] {
  const [l, a, b] = [m.sum[0]! / m.n, m.sum[1]! / m.n, m.sum[2]! / m.n];
  const s = m.square;
  return [
    s[0]! / m.n - l * l,
    s[1]! / m.n - l * a,
    s[2]! / m.n - l * b,
    s[3]! / m.n - a * a,
    s[4]! / m.n - a * b,
    s[5]! / m.n - b * b,
  ];
}

/** Largest eigenvalue and its vector, by repeated multiplication. */
function mainAxis(c: readonly number[]): { axis: readonly number[]; variance: number } {
  // Start from the longest column: it cannot be at right angles to the main axis.
  const columns = [
    [c[0]!, c[1]!, c[2]!],
    [c[1]!, c[3]!, c[4]!],
    [c[2]!, c[4]!, c[5]!],
  ];
  let v = columns.toSorted((p, q) => Math.hypot(...q) - Math.hypot(...p))[0]!;
  let variance = Math.hypot(...v);
  if (variance === 0) return { axis: [1, 0, 0], variance: 0 };
  for (let k = 0; k < 20; k++) {
    const length = Math.hypot(...v);
    v = v.map((x) => x / length);
    v = columns.map((row) => row[0]! * v[0]! + row[1]! * v[1]! + row[2]! * v[2]!);
    variance = Math.hypot(...v);
    if (variance === 0) return { axis: [1, 0, 0], variance: 0 };
  }
  return { axis: v.map((x) => x / variance), variance };
}

function writeTerm(terms: Float64Array, o: number, m: Moments, total: number): void {
  const c = covariance(m);
  const [ll, la, lb, aa, ab, bb] = [
    c[0]! + NOISE_VARIANCE,
    c[1]!,
    c[2]!,
    c[3]! + NOISE_VARIANCE,
    c[4]!,
    c[5]! + NOISE_VARIANCE,
  ];
  const i0 = aa * bb - ab * ab;
  const i1 = lb * ab - la * bb;
  const i2 = la * ab - lb * aa;
  const det = ll * i0 + la * i1 + lb * i2;
  terms[o] = -Math.log(m.n / total) + 0.5 * Math.log(det);
  for (let k = 0; k < 3; k++) terms[o + 1 + k] = m.sum[k]! / m.n;
  terms[o + 4] = i0 / det;
  terms[o + 5] = i1 / det;
  terms[o + 6] = i2 / det;
  terms[o + 7] = (ll * bb - lb * lb) / det;
  terms[o + 8] = (la * lb - ll * ab) / det;
  terms[o + 9] = (ll * aa - la * la) / det;
}
