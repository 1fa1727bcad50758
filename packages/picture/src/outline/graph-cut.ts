import { learnMixture, surprise } from "./colour-mixture.ts";
import type { Crop } from "./crop.ts";
import { minimumCut, STEP_X, STEP_Y } from "./max-flow.ts";

/** What is known of a crop's cells before the cut. */
export const SURE_OUTSIDE = 0;
export const LIKELY_OUTSIDE = 1;
export const LIKELY_INSIDE = 2;
export const SURE_INSIDE = 3;

export interface CutOptions {
  readonly rounds: number;
  readonly clusters: number;
  /** Weight of an edge between equal colours, against one nat of colour evidence per pixel. */
  readonly smoothness: number;
}

export const CUT: CutOptions = { rounds: 3, clusters: 5, smoothness: 50 };

/** Capacities are whole numbers: one unit of cost is this many. */
const UNIT = 100;
const CERTAIN = 1 << 28;

/**
 * Inside of a crop by colour: mixtures of inside and outside colours and the cut between them, in turns.
 * Returns null when nothing is left to learn one side from.
 *
 * @source RotherKolmogorovBlake2004
 */
export function cutCrop(crop: Crop, known: Uint8Array, options: CutOptions = CUT): Uint8Array | null {
  const { size, lab } = crop;
  const cells = size * size;
  const links = contrastLinks(lab, size, options.smoothness);
  let inside = Uint8Array.from(known, (k) => (k >= LIKELY_INSIDE ? 1 : 0));
  const usable = (i: number) => !crop.void[i];
  for (let round = 0; round < options.rounds; round++) {
    let n = 0;
    let m = 0;
    for (let i = 0; i < cells; i++) {
      if (!usable(i)) continue;
      if (inside[i]) n++;
      else m++;
    }
    if (n < 8 || m < 8) return null;
    const within = inside;
    const inner = learnMixture(lab, (i) => usable(i) && within[i] === 1, cells, options.clusters);
    const outer = learnMixture(lab, (i) => usable(i) && within[i] === 0, cells, options.clusters);
    const terminal = new Int32Array(cells);
    for (let i = 0; i < cells; i++) {
      const k = known[i]!;
      if (k === SURE_OUTSIDE) terminal[i] = -CERTAIN;
      else if (k === SURE_INSIDE) terminal[i] = CERTAIN;
      else {
        const [l, a, b] = [lab[3 * i]!, lab[3 * i + 1]!, lab[3 * i + 2]!];
        terminal[i] = Math.round(UNIT * (surprise(outer, l, a, b) - surprise(inner, l, a, b)));
      }
    }
    const next = minimumCut(size, size, terminal, links.slice()).inside as Uint8Array<ArrayBuffer>;
    const isSettled = isSame(next, inside);
    inside = next;
    // Another round would learn the same colours and cut the same way.
    if (isSettled) break;
  }
  return inside;
}

function isSame(a: Uint8Array, b: Uint8Array): boolean {
  for (let i = 0; i < a.length; i++) if (a[i] !== b[i]) return false;
  return true;
}

/** Cheap to cut where neighbouring colours differ, against the crop's own mean difference. */
function contrastLinks(lab: Float32Array, size: number, smoothness: number): Int32Array {
  const cells = size * size;
  const links = new Int32Array(8 * cells);
  const difference = (i: number, j: number) =>
    (lab[3 * i]! - lab[3 * j]!) ** 2 +
    (lab[3 * i + 1]! - lab[3 * j + 1]!) ** 2 +
    (lab[3 * i + 2]! - lab[3 * j + 2]!) ** 2;
  let sum = 0;
  let count = 0;
  const forward = [4, 5, 6, 7];
  const each = (visit: (i: number, j: number, d: number) => void) => {
    for (let y = 0; y < size; y++) {
      for (let x = 0; x < size; x++) {
        for (const d of forward) {
          const nx = x + STEP_X[d]!;
          const ny = y + STEP_Y[d]!;
          if (nx >= 0 && nx < size && ny < size) visit(y * size + x, ny * size + nx, d);
        }
      }
    }
  };
  each((i, j) => {
    sum += difference(i, j);
    count++;
  });
  const beta = sum > 0 ? count / (2 * sum) : 0;
  each((i, j, d) => {
    const straight = STEP_X[d] === 0 || STEP_Y[d] === 0;
    const weight = smoothness * Math.exp(-beta * difference(i, j)) * (straight ? 1 : Math.SQRT1_2);
    const capacity = Math.round(UNIT * weight);
    links[8 * i + d] = capacity;
    links[8 * j + 7 - d] = capacity;
  });
  return links;
}
