import type { Fill } from "../artwork/mark.ts";
import type { Pose } from "../surface/pose.ts";
import { Coverage } from "./coverage.ts";
import type { ProjectedMark } from "./projected.ts";
import type { Strip } from "./strip.ts";

/** Paints marks into strips; keeps its working memory between calls. */
export class Painter {
  readonly #coverage = new Coverage();
  #share = new Float32Array(0);
  readonly #walker = new Walker();

  paint(strip: Strip, mark: ProjectedMark): void {
    const { box } = mark;
    const left = Math.max(strip.x0, Math.floor(box.left));
    const right = Math.min(strip.x0 + strip.width, Math.ceil(box.right));
    const top = Math.max(strip.y0, Math.floor(box.top));
    const bottom = Math.min(strip.y0 + strip.height, Math.ceil(box.bottom));
    if (!(left < right && top < bottom)) return;
    const coverage = this.#coverage;
    coverage.open(left, top, right - left, bottom - top);
    for (const ring of mark.rings) {
      if (ring.box.bottom > top && ring.box.top < bottom && ring.box.left < right) coverage.add(ring.points);
    }
    if (this.#share.length < right - left) this.#share = new Float32Array(right - left);
    for (let row = 0; row < bottom - top; row++) {
      if (!coverage.row(row, this.#share)) continue;
      const at = (top + row - strip.y0) * strip.width + left - strip.x0;
      this.#fillRow(strip, mark.fill, mark.pose, at, left, top + row, coverage.first, coverage.end);
    }
  }

  /** The shares themselves, row by row, into the alpha plane (a body's or a mirror's outline). */
  mask(strip: Strip, rings: readonly Float64Array[]): void {
    const coverage = this.#coverage;
    coverage.open(strip.x0, strip.y0, strip.width, strip.height);
    for (const ring of rings) coverage.add(ring);
    for (let row = 0; row < strip.height; row++) {
      const start = row * strip.width;
      coverage.row(row, strip.a.subarray(start, start + strip.width));
    }
  }

  #fillRow(
    strip: Strip,
    fill: Fill,
    pose: Pose,
    at: number,
    x: number,
    y: number,
    from: number,
    end: number,
  ): void {
    const { r, g, b, a } = strip;
    const share = this.#share;
    if (fill.kind === "ink") {
      const [fr, fg, fb] = fill.rgb;
      for (let i = from; i < end; i++) {
        const cover = share[i]! * fill.alpha;
        if (cover === 0) continue;
        const keep = 1 - cover;
        const p = at + i;
        r[p] = r[p]! * keep + fr * cover;
        g[p] = g[p]! * keep + fg * cover;
        b[p] = b[p]! * keep + fb * cover;
        a[p] = a[p]! * keep + cover;
      }
      return;
    }
    const walker = this.#walker;
    walker.start(pose, y);
    const out = walker.out;
    for (let i = from; i < end; i++) {
      const cover = share[i]!;
      if (cover === 0 || !walker.moveTo(x + i)) continue;
      fill.shade(walker.x, walker.y, out);
      const p = at + i;
      if (fill.kind === "paint") {
        const part = cover * out[3]!;
        const keep = 1 - part;
        r[p] = r[p]! * keep + out[0]! * part;
        g[p] = g[p]! * keep + out[1]! * part;
        b[p] = b[p]! * keep + out[2]! * part;
        a[p] = a[p]! * keep + part;
      } else {
        r[p] = r[p]! * (1 - cover + cover * out[0]!);
        g[p] = g[p]! * (1 - cover + cover * out[1]!);
        b[p] = b[p]! * (1 - cover + cover * out[2]!);
      }
    }
  }
}

/** Pixels between two exact positions; straight interpolation over so few errs by less than 0.002 px of texture. */
export const KNOT_PX = 16;

/** Walks along a picture row and tells the thing's own millimetres at each pixel centre. */
export class Walker {
  x = 0;
  y = 0;
  readonly out = new Float64Array(4);
  #pose: Pose | null = null;
  #row = 0;
  #knot = Number.NaN;
  #hit = false;
  #whole = false;
  #x0 = 0;
  #y0 = 0;
  #dx = 0;
  #dy = 0;
  readonly #at = new Float64Array(2);

  start(pose: Pose, row: number): void {
    this.#pose = pose;
    this.#row = row;
    this.#knot = Number.NaN;
  }

  /** False where the ray through the pixel's centre misses the thing. */
  moveTo(column: number): boolean {
    const knot = Math.floor(column / KNOT_PX);
    if (knot !== this.#knot) this.#enter(knot);
    if (this.#whole) {
      const k = column - knot * KNOT_PX;
      this.x = this.#x0 + this.#dx * k;
      this.y = this.#y0 + this.#dy * k;
      return true;
    }
    if (!this.#hit || !this.#pose!.unproject(column + 0.5, this.#row + 0.5, this.#at)) return false;
    this.x = this.#at[0]!;
    this.y = this.#at[1]!;
    return true;
  }

  #enter(knot: number): void {
    const pose = this.#pose!;
    const at = this.#at;
    const left = knot * KNOT_PX + 0.5;
    const first = pose.unproject(left, this.#row + 0.5, at);
    this.#x0 = at[0]!;
    this.#y0 = at[1]!;
    const second = pose.unproject(left + KNOT_PX, this.#row + 0.5, at);
    this.#dx = (at[0]! - this.#x0) / KNOT_PX;
    this.#dy = (at[1]! - this.#y0) / KNOT_PX;
    this.#knot = knot;
    this.#whole = first && second;
    // Near a silhouette each pixel asks for itself.
    this.#hit = true;
  }
}
