import { Matrix } from "ml-matrix";

/** Sums of weighted `row rowᵀ`: the normal equations of a least squares problem, exactly symmetric. */
export class SymmetricSums {
  readonly #size: number;
  readonly #sums: Float64Array;

  constructor(size: number) {
    this.#size = size;
    this.#sums = new Float64Array(size * size);
  }

  add(row: ArrayLike<number>, weight: number): void {
    for (let i = 0; i < this.#size; i++) {
      const scaled = weight * row[i]!;
      if (scaled === 0) continue;
      for (let j = i; j < this.#size; j++) this.#sums[i * this.#size + j]! += scaled * row[j]!;
    }
  }

  matrix(): Matrix {
    for (let i = 0; i < this.#size; i++) {
      for (let j = 0; j < i; j++) this.#sums[i * this.#size + j] = this.#sums[j * this.#size + i]!;
    }
    return Matrix.from1DArray(this.#size, this.#size, this.#sums);
  }
}
