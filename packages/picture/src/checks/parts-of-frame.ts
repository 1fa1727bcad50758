import { countOf, type Grid, majority, medianOf, type Part, partsOf } from "./cells.ts";
import type { Reduced } from "./reduced.ts";

/** Which cells show what. Skin lies within the subject; a cell is subject, backdrop, or neither (something laid across). */
export interface FrameParts {
  readonly subject: Uint8Array;
  readonly skin: Uint8Array;
  readonly backdrop: Uint8Array;
  /** 0 to 1: how far the colours on both sides of the subject's edge differ; 1 without such an edge. */
  readonly distinctness: number;
}

/**
 * Skin of every tone is redder than it is green, and greener than blue: blood and melanin see to that. As ratios of linear
 * light these hold under any exposure; both limits are wide, so that a white balance somewhat off does not matter.
 * Common practice, no source.
 */
const REDDER_THAN_GREEN = 1.15;
const REDDER_THAN_BLUE = 1.25;
/** Under lamplight a white sheet is as warm as this as well: stops of red over blue. What is warmer is skin, or may be. */
const WARM_SHEET = 0.6;
/** Two kinds of cells, one warm and one less, must make up this share of all that differs in warmth. */
const TWO_KINDS = 0.75;
/** Less of the frame than this is a thing at its border, not the backdrop; or no skin worth the name. */
const LEAST_SHARE = 0.015;
/** Parts of the subject smaller than this share of its largest one are something else. */
const LEAST_PART = 0.04;
/** Colours (ΔE*ab) as far apart as this are two different things: two thirds distinct. */
const DIFFERENT = 15;
/** Burnt-out skin has skin nearly as bright beside it: linear light of its brightest channel. */
const NEARLY_BURNT = 0.72;

/** @param nearScales cells in which a scale may lie. Null where no skin is seen. */
export function partsOfFrame(picture: Reduced, nearScales: Uint8Array): FrameParts | null {
  const { linear } = picture;
  const n = picture.columns * picture.rows;
  const coloured = new Uint8Array(n);
  const redderThanBlue = 2 ** Math.max(Math.log2(REDDER_THAN_BLUE), warmthBetween(linear));
  for (let i = 0; i < n; i++) {
    const [r, g, b] = [linear[3 * i]!, linear[3 * i + 1]!, linear[3 * i + 2]!];
    coloured[i] = r > REDDER_THAN_GREEN * g && r > redderThanBlue * b ? 1 : 0;
  }
  const skin = withBurntOut(majority(coloured, picture), nearScales, picture);
  if (countOf(skin) < LEAST_SHARE * n) return null;
  const backdrop = backdropOf(skin, nearScales, picture);
  const subject = new Uint8Array(n);
  const [largest, ...others] = partsOf(
    backdrop.map((v) => 1 - v),
    picture,
  )
    .map((part) => ({ part, skinCells: part.cells.filter((i) => skin[i]).length }))
    .sort((a, b) => b.skinCells - a.skinCells);
  for (const { part, skinCells } of [largest!, ...others]) {
    // What is mostly not skin (a scale, a chart on the cloth) is no part of the body.
    if (skinCells < LEAST_PART * largest!.skinCells || skinCells < 0.3 * part.cells.length) continue;
    for (const i of part.cells) subject[i] = 1;
  }
  for (let i = 0; i < n; i++) if (!subject[i]) skin[i] = 0;
  return { subject, skin, backdrop, distinctness: distinctnessOf(subject, backdrop, picture) };
}

const WARMTH_BINS = 64;
const MOST_WARMTH = 3;

/**
 * Where the picture's cells part into warm and less warm, stops of red over blue, if they do and the less warm ones are
 * about as colourless as a sheet under lamplight; 0 otherwise. @source Otsu1979
 */
function warmthBetween(linear: Float32Array): number {
  const bins = new Float64Array(WARMTH_BINS);
  for (let i = 0; i < linear.length; i += 3) {
    const warmth = Math.log2((linear[i]! + 1e-3) / (linear[i + 2]! + 1e-3));
    const share = Math.min(1, Math.max(0, (warmth + MOST_WARMTH) / (2 * MOST_WARMTH)));
    bins[Math.min(WARMTH_BINS - 1, Math.floor(share * WARMTH_BINS))]!++;
  }
  const at = (k: number) => ((k + 0.5) / WARMTH_BINS) * 2 * MOST_WARMTH - MOST_WARMTH;
  let [n, sum, squares] = [0, 0, 0];
  bins.forEach((count, k) => {
    n += count;
    sum += count * at(k);
    squares += count * at(k) ** 2;
  });
  const variance = squares / n - (sum / n) ** 2;
  let best = { between: 0, limit: 0, cooler: 0 };
  let [below, sumBelow] = [0, 0];
  for (let k = 0; k < WARMTH_BINS - 1; k++) {
    below += bins[k]!;
    sumBelow += bins[k]! * at(k);
    if (below === 0 || below === n) continue;
    const [cooler, warmer] = [sumBelow / below, (sum - sumBelow) / (n - below)];
    const between = (below / n) * (1 - below / n) * (warmer - cooler) ** 2;
    if (between > best.between) best = { between, limit: (at(k) + at(k + 1)) / 2, cooler };
  }
  return best.between > TWO_KINDS * variance && best.cooler < WARM_SHEET ? best.limit : 0;
}

/** Burnt-out skin is white, but what lies beside it on the skin nearly burns out as well; a white cloth parts from skin sharply. */
function withBurntOut(skin: Uint8Array, nearScales: Uint8Array, picture: Reduced): Uint8Array {
  const { burnt, linear } = picture;
  const out = skin.slice();
  const bright = skin.map((v, i) => (v === 0 && burnt[i]! > 0.5 && nearScales[i] === 0 ? 1 : 0));
  for (const { cells } of partsOf(bright, picture)) {
    const beside = neighboursOf(cells, picture).filter((i) => skin[i]);
    const light = medianOf(
      beside.map((i) => Math.max(linear[3 * i]!, linear[3 * i + 1]!, linear[3 * i + 2]!)),
    );
    if (light > NEARLY_BURNT) for (const i of cells) out[i] = 1;
  }
  return out;
}

/**
 * What is not skin and reaches the frame's border, or is as large as a gap between fingers and of the same colour. What lies
 * within the subject (a wound, a scale) is not behind it.
 */
function backdropOf(skin: Uint8Array, nearScales: Uint8Array, picture: Reduced): Uint8Array {
  const n = skin.length;
  const clear = skin.map((v, i) => (v === 0 && nearScales[i] === 0 ? 1 : 0));
  const atBorder = partsOf(clear, picture).filter(
    (part) => part.touchesBorder && part.cells.length >= LEAST_SHARE * n,
  );
  const backdrop = new Uint8Array(n);
  for (const { cells } of atBorder) for (const i of cells) backdrop[i] = 1;
  if (atBorder.length === 0) return backdrop;
  const isSame = likeOf(atBorder, picture);
  // Beside a scale, and between fingers, by colour.
  const like = skin.map((v, i) => (v === 0 && backdrop[i] === 0 && isSame(i) ? 1 : 0));
  for (const { cells } of partsOf(like, picture))
    if (cells.length >= 6) for (const i of cells) backdrop[i] = 1;
  return backdrop;
}

/** Whether a cell has the colour of these parts, whatever the light on it. */
function likeOf(parts: readonly Part[], { linear }: Reduced): (cell: number) => boolean {
  const cells = parts.flatMap((part) => part.cells);
  const ratio = (i: number, of: number) =>
    Math.log2((linear[3 * i + of]! + 1e-4) / (linear[3 * i + 1]! + 1e-4));
  const light = (i: number) => Math.log2(linear[3 * i + 1]! + 1e-4);
  const middle = [0, 2].map((of) => medianOf(cells.map((i) => ratio(i, of))));
  const bright = medianOf(cells.map(light));
  return (i) =>
    Math.abs(ratio(i, 0) - middle[0]!) < 0.2 &&
    Math.abs(ratio(i, 2) - middle[1]!) < 0.2 &&
    Math.abs(light(i) - bright) < 0.7;
}

function neighboursOf(cells: readonly number[], { columns, rows }: Grid): number[] {
  const own = new Set(cells);
  const found = new Set<number>();
  for (const i of cells) {
    const x = i % columns;
    const y = (i - x) / columns;
    for (const j of [x > 0 ? i - 1 : -1, x < columns - 1 ? i + 1 : -1, i - columns, i + columns])
      if (j >= 0 && j < columns * rows && !own.has(j)) found.add(j);
    if (y < 0) break;
  }
  return [...found];
}

/** Median colour difference between places three cells apart across the edge. */
function distinctnessOf(subject: Uint8Array, backdrop: Uint8Array, { lab, columns, rows }: Reduced): number {
  const differences: number[] = [];
  const REACH = 3;
  for (let y = 0; y < rows; y++) {
    for (let x = 0; x < columns; x++) {
      const i = y * columns + x;
      for (const [j, ok] of [
        [i + REACH, x + REACH < columns],
        [i + REACH * columns, y + REACH < rows],
      ] as const) {
        if (!ok || !((subject[i] && backdrop[j]) || (backdrop[i] && subject[j]))) continue;
        differences.push(
          Math.hypot(
            lab[3 * i]! - lab[3 * j]!,
            lab[3 * i + 1]! - lab[3 * j + 1]!,
            lab[3 * i + 2]! - lab[3 * j + 2]!,
          ),
        );
      }
    }
  }
  return differences.length === 0 ? 1 : 1 - Math.exp(-medianOf(differences) / DIFFERENT);
}
