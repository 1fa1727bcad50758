/** A connected region: how many pixels, and the sums of their positions and of the positions' products. */
export interface Region {
  readonly count: number;
  readonly x: number;
  readonly y: number;
  readonly xx: number;
  readonly xy: number;
  readonly yy: number;
}

/** Per region: count, x, y, xx, xy, yy. */
const SUMS = 6;

/**
 * Connected regions (4 neighbours) of pixels whose value is at most `most`, by runs: each row's runs are joined to the
 * runs of the row above that they touch, and only the sums are kept.
 */
export function regionsUpTo(values: Uint8Array, w: number, h: number, most: number): Region[] {
  const joined = new Joined();
  // start and end columns and region of each run of the row above, and of this row
  let [above, here] = [new Int32Array(3 * w + 3), new Int32Array(3 * w + 3)];
  let aboveCount = 0;
  for (let y = 0; y < h; y++) {
    let count = 0;
    let k = 0;
    const row = y * w;
    for (let x = 0; x < w; x++) {
      if (values[row + x]! > most) continue;
      const start = x;
      while (x + 1 < w && values[row + x + 1]! <= most) x++;
      let region = -1;
      while (k < aboveCount && above[3 * k + 1]! < start) k++;
      for (let j = k; j < aboveCount && above[3 * j]! <= x; j++) {
        region = region < 0 ? joined.root(above[3 * j + 2]!) : joined.join(region, above[3 * j + 2]!);
      }
      if (region < 0) region = joined.create();
      joined.add(region, start, x, y);
      here[3 * count] = start;
      here[3 * count + 1] = x;
      here[3 * count + 2] = region;
      count++;
    }
    [above, here] = [here, above];
    aboveCount = count;
  }
  return joined.regions();
}

/** Regions that may turn out to be one: each points to the one it was joined to. */
class Joined {
  #parent = new Int32Array(1024);
  #sums = new Float64Array(1024 * SUMS);
  #count = 0;

  create(): number {
    if (this.#count === this.#parent.length) {
      const parent = new Int32Array(2 * this.#count);
      parent.set(this.#parent);
      const sums = new Float64Array(2 * this.#count * SUMS);
      sums.set(this.#sums);
      [this.#parent, this.#sums] = [parent, sums];
    }
    this.#parent[this.#count] = this.#count;
    return this.#count++;
  }

  root(of: number): number {
    const parent = this.#parent;
    while (parent[of] !== of) {
      parent[of] = parent[parent[of]!]!;
      of = parent[of]!;
    }
    return of;
  }

  join(a: number, b: number): number {
    const [one, other] = [this.root(a), this.root(b)];
    if (one === other) return one;
    this.#parent[other] = one;
    for (let s = 0; s < SUMS; s++) {
      this.#sums[one * SUMS + s]! += this.#sums[other * SUMS + s]!;
    }
    return one;
  }

  /** A run from column `start` to `end` of row `y`. */
  add(region: number, start: number, end: number, y: number): void {
    const at = SUMS * region;
    const n = end - start + 1;
    const x = ((start + end) * n) / 2;
    const sums = this.#sums;
    sums[at]! += n;
    sums[at + 1]! += x;
    sums[at + 2]! += n * y;
    sums[at + 3]! += squaresTo(end) - squaresTo(start - 1);
    sums[at + 4]! += x * y;
    sums[at + 5]! += n * y * y;
  }

  regions(): Region[] {
    const found: Region[] = [];
    const s = this.#sums;
    for (let i = 0; i < this.#count; i++) {
      if (this.#parent[i] !== i) continue;
      const at = SUMS * i;
      found.push({
        count: s[at]!,
        x: s[at + 1]!,
        y: s[at + 2]!,
        xx: s[at + 3]!,
        xy: s[at + 4]!,
        yy: s[at + 5]!,
      });
    }
    return found;
  }
}

const squaresTo = (n: number): number => (n * (n + 1) * (2 * n + 1)) / 6;
