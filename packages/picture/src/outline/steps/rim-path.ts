import type { XY } from "../../answers.ts";
import type { WorkPicture } from "../work-picture.ts";

/**
 * The closed path that follows the edge from each click on the rim to the next and back to the first: between two clicks the
 * cheapest way from pixel to pixel, cheap along strong gradients of colour.
 * @param clicks work pixels
 * @source MortensenBarrett1995
 */
export function rimPath(work: WorkPicture, clicks: readonly XY[]): XY[] {
  const gradient = gradientOf(work);
  const legs = clicks.map((from, i) => leg(gradient, work, from, clicks[(i + 1) % clicks.length]!));
  // Each leg ends where the next begins.
  return smoothed(legs.flatMap((pixels) => pixels.slice(0, -1)));
}

/** A step over even ground costs this many steps along the strongest edge. */
const EVEN_GROUND = 12;
/** Gradients from this share of the strongest ones on count as an edge in full. */
const STRONG = 0.95;
/** How far beyond the two clicks the way may lead, against their distance, and at least, in work pixels. */
const DETOUR = 0.75;
const LEAST_DETOUR_PX = 12;

/** Steepness of colour at each work pixel, L*a*b* units over two pixels. */
function gradientOf(work: WorkPicture): Float32Array {
  const { lab, widthPx: w, heightPx: h } = work.levels[0]!;
  const gradient = new Float32Array(w * h);
  for (let y = 0; y < h; y++) {
    const up = Math.max(0, y - 1) * w;
    const down = Math.min(h - 1, y + 1) * w;
    for (let x = 0; x < w; x++) {
      const left = 3 * (y * w + Math.max(0, x - 1));
      const right = 3 * (y * w + Math.min(w - 1, x + 1));
      let sum = 0;
      for (let c = 0; c < 3; c++) {
        sum += (lab[right + c]! - lab[left + c]!) ** 2;
        sum += (lab[3 * (down + x) + c]! - lab[3 * (up + x) + c]!) ** 2;
      }
      gradient[y * w + x] = Math.sqrt(sum);
    }
  }
  return gradient;
}

function leg(gradient: Float32Array, work: WorkPicture, from: XY, to: XY): XY[] {
  const { widthPx: w, heightPx: h } = work;
  const margin = Math.max(LEAST_DETOUR_PX, DETOUR * Math.hypot(to[0] - from[0], to[1] - from[1]));
  const left = Math.max(0, Math.floor(Math.min(from[0], to[0]) - margin));
  const top = Math.max(0, Math.floor(Math.min(from[1], to[1]) - margin));
  const width = Math.min(w, Math.ceil(Math.max(from[0], to[0]) + margin)) - left;
  const height = Math.min(h, Math.ceil(Math.max(from[1], to[1]) + margin)) - top;
  const cell = ([x, y]: XY) =>
    Math.min(height - 1, Math.floor(y) - top) * width + Math.min(width - 1, Math.floor(x) - left);
  const steep = Float32Array.from(
    { length: width * height },
    (_, i) => gradient[(top + Math.floor(i / width)) * w + left + (i % width)]!,
  );
  const strong = steep.toSorted()[Math.floor(STRONG * (steep.length - 1))]!;
  const price = steep.map((g) => 1 + (EVEN_GROUND - 1) * (1 - Math.min(1, strong > 0 ? g / strong : 0)) ** 2);
  return cheapestPath(price, width, cell(from), cell(to)).map((i) => [
    left + (i % width) + 0.5,
    top + Math.floor(i / width) + 0.5,
  ]);
}

/** Cells from start to end, both included, steps to eight neighbours. @source Dijkstra1959 */
function cheapestPath(price: Float32Array, width: number, start: number, end: number): number[] {
  const cells = price.length;
  const height = cells / width;
  const cost = new Float64Array(cells).fill(Number.POSITIVE_INFINITY);
  const cameFrom = new Int32Array(cells).fill(-1);
  const queue = new CellQueue(cost);
  cost[start] = 0;
  queue.push(start);
  for (let i = queue.pop(); i >= 0 && i !== end; i = queue.pop()) {
    const x = i % width;
    const y = (i - x) / width;
    for (let dy = -1; dy <= 1; dy++) {
      for (let dx = -1; dx <= 1; dx++) {
        if (x + dx < 0 || x + dx >= width || y + dy < 0 || y + dy >= height) continue;
        const j = i + dy * width + dx;
        const next = cost[i]! + ((price[i]! + price[j]!) / 2) * (dx !== 0 && dy !== 0 ? Math.SQRT2 : 1);
        if (next >= cost[j]!) continue;
        cost[j] = next;
        cameFrom[j] = i;
        queue.push(j);
      }
    }
  }
  const path = [end];
  for (let i = end; i !== start; ) {
    i = cameFrom[i]!;
    path.push(i);
  }
  return path.reverse();
}

/** The cell of least cost first; a cell may wait more than once, its later turns change nothing. */
class CellQueue {
  readonly #cost: Float64Array;
  readonly #heap: number[] = [];
  readonly #keys: number[] = [];

  constructor(cost: Float64Array) {
    this.#cost = cost;
  }

  push(cell: number): void {
    const key = this.#cost[cell]!;
    let k = this.#heap.length;
    for (; k > 0; ) {
      const up = (k - 1) >> 1;
      if (this.#keys[up]! <= key) break;
      this.#heap[k] = this.#heap[up]!;
      this.#keys[k] = this.#keys[up]!;
      k = up;
    }
    this.#heap[k] = cell;
    this.#keys[k] = key;
  }

  pop(): number {
    const first = this.#heap[0];
    if (first === undefined) return -1;
    const cell = this.#heap.pop()!;
    const key = this.#keys.pop()!;
    const n = this.#heap.length;
    if (n === 0) return first;
    let k = 0;
    for (;;) {
      let child = 2 * k + 1;
      if (child >= n) break;
      if (child + 1 < n && this.#keys[child + 1]! < this.#keys[child]!) child++;
      if (this.#keys[child]! >= key) break;
      this.#heap[k] = this.#heap[child]!;
      this.#keys[k] = this.#keys[child]!;
      k = child;
    }
    this.#heap[k] = cell;
    this.#keys[k] = key;
    return first;
  }
}

/** A path of pixel middles is a staircase: each point half-way to the middle of its neighbours, twice. */
function smoothed(ring: readonly XY[]): XY[] {
  let points = [...ring];
  for (let pass = 0; pass < 2; pass++) {
    points = points.map(([x, y], i): XY => {
      const [ax, ay] = points[(i + points.length - 1) % points.length]!;
      const [bx, by] = points[(i + 1) % points.length]!;
      return [(ax + 2 * x + bx) / 4, (ay + 2 * y + by) / 4];
    });
  }
  return points;
}
