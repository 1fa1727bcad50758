/**
 * Exact area coverage of polygons on the pixel grid: each edge adds, per row, the signed area to its right; a running
 * sum along the row gives the share of every pixel that lies inside. No samples, so a tick's centre of gravity is
 * the true one to about 1e-6 px.
 */
export class Coverage {
  x0 = 0;
  y0 = 0;
  width = 0;
  height = 0;
  #stride = 0;
  #sums = new Float32Array(0);

  /** Starts anew for a window of the picture. */
  open(x0: number, y0: number, width: number, height: number): void {
    this.x0 = x0;
    this.y0 = y0;
    this.width = width;
    this.height = height;
    this.#stride = width + 2;
    const need = this.#stride * height;
    if (need > this.#sums.length) this.#sums = new Float32Array(need);
    else this.#sums.fill(0, 0, need);
  }

  /** Adds a closed ring of picture coordinates x0, y0, x1, y1, … */
  add(ring: Float64Array): void {
    const n = ring.length;
    if (n < 6) return;
    let px = ring[n - 2]! - this.x0;
    let py = ring[n - 1]! - this.y0;
    for (let i = 0; i < n; i += 2) {
      const x = ring[i]! - this.x0;
      const y = ring[i + 1]! - this.y0;
      if (py !== y) this.#edge(px, py, x, y);
      px = x;
      py = y;
    }
  }

  #edge(ax: number, ay: number, bx: number, by: number): void {
    let direction = 1;
    if (ay > by) {
      direction = -1;
      [ax, ay, bx, by] = [bx, by, ax, ay];
    }
    if (by <= 0 || ay >= this.height) return;
    const slope = (bx - ax) / (by - ay);
    let x = ax;
    if (ay < 0) {
      x = ax - ay * slope;
      ay = 0;
    }
    const end = Math.min(by, this.height);
    const sums = this.#sums;
    const w = this.width;
    for (let row = Math.floor(ay); row < end; row++) {
      const dy = Math.min(row + 1, end) - Math.max(row, ay);
      const next = x + slope * dy;
      const d = dy * direction;
      let l = Math.min(x, next);
      let r = Math.max(x, next);
      x = next;
      if (l >= w) continue;
      const base = row * this.#stride;
      if (l < 0) l = 0; // what lies left of the window counts in full
      if (r < 0) r = 0;
      if (r > w) r = w;
      const li = l | 0;
      const ri = Math.ceil(r);
      if (ri <= li + 1) {
        const right = d * ((l + r) * 0.5 - li);
        sums[base + li] = sums[base + li]! + d - right;
        sums[base + li + 1] = sums[base + li + 1]! + right;
        continue;
      }
      // The edge crosses several pixels of the row: a triangle, trapezia of equal step, a triangle.
      const s = 1 / (r - l);
      const lf = 1 - (l - li);
      const first = 0.5 * s * lf * lf;
      const rf = r - ri + 1;
      const last = 0.5 * s * rf * rf;
      sums[base + li] = sums[base + li]! + d * first;
      if (ri === li + 2) {
        sums[base + li + 1] = sums[base + li + 1]! + d * (1 - first - last);
      } else {
        const second = s * (lf + 0.5);
        sums[base + li + 1] = sums[base + li + 1]! + d * (second - first);
        for (let i = li + 2; i < ri - 1; i++) sums[base + i] = sums[base + i]! + d * s;
        const before = second + (ri - li - 3) * s;
        sums[base + ri - 1] = sums[base + ri - 1]! + d * (1 - before - last);
      }
      sums[base + ri] = sums[base + ri]! + d * last;
    }
  }

  /** First and one past the last pixel that the latest `row` touched. */
  first = 0;
  end = 0;

  /** Writes the shares 0 to 1 of one row (counted from the window's top) into `out`; false when it is empty. */
  row(row: number, out: Float32Array): boolean {
    const base = row * this.#stride;
    const sums = this.#sums;
    const n = this.width;
    let i = 0;
    while (i < n && sums[base + i] === 0) out[i++] = 0;
    this.first = i;
    let sum = 0;
    let last = i;
    for (; i < n; i++) {
      sum += sums[base + i]!;
      const share = Math.abs(sum);
      if (share < 2e-5) out[i] = 0;
      else {
        last = i + 1;
        out[i] = Math.min(share, 1);
      }
    }
    this.end = last;
    return last > this.first;
  }
}
