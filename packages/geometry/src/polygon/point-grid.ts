import type { Point } from "../units.ts";

/** Points sorted into square cells, about one to a cell, so that a small box is searched without looking at all of them. */
export class PointGrid {
  readonly #cells = new Map<number, Point[]>();
  readonly #left: number;
  readonly #top: number;
  readonly #side: number;
  readonly #perSide: number;

  constructor(points: readonly Point[]) {
    let [left, top, right, bottom] = [Infinity, Infinity, -Infinity, -Infinity];
    for (const p of points) {
      left = Math.min(left, p.x);
      top = Math.min(top, p.y);
      right = Math.max(right, p.x);
      bottom = Math.max(bottom, p.y);
    }
    const perSide = Math.max(1, Math.ceil(Math.sqrt(points.length)));
    this.#left = left;
    this.#top = top;
    this.#side = Math.max(right - left, bottom - top) / perSide || 1;
    this.#perSide = perSide;
    for (const p of points) {
      const key = this.#key(this.#index(p.x, this.#left), this.#index(p.y, this.#top));
      const cell = this.#cells.get(key);
      if (cell === undefined) this.#cells.set(key, [p]);
      else cell.push(p);
    }
  }

  /** Takes one point object out (by identity). */
  delete(p: Point): void {
    const cell = this.#cells.get(this.#key(this.#index(p.x, this.#left), this.#index(p.y, this.#top)));
    const place = cell?.indexOf(p) ?? -1;
    if (place >= 0) cell!.splice(place, 1);
  }

  /** Whether any point of the cells that meet a box satisfies a test. */
  some(minX: number, minY: number, maxX: number, maxY: number, test: (p: Point) => boolean): boolean {
    const lastColumn = this.#index(maxX, this.#left);
    const lastRow = this.#index(maxY, this.#top);
    for (let row = this.#index(minY, this.#top); row <= lastRow; row++) {
      for (let column = this.#index(minX, this.#left); column <= lastColumn; column++) {
        if (this.#cells.get(this.#key(column, row))?.some(test)) return true;
      }
    }
    return false;
  }

  #index(value: number, start: number): number {
    return Math.min(this.#perSide - 1, Math.max(0, Math.floor((value - start) / this.#side)));
  }

  #key(column: number, row: number): number {
    return row * this.#perSide + column;
  }
}
