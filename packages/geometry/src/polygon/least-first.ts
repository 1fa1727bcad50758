/** A heap of indices by weight, with stale entries skipped. */
export class LeastFirst {
  readonly #weights: Float64Array;
  readonly #heap: { index: number; weight: number }[] = [];

  constructor(size: number) {
    this.#weights = new Float64Array(size).fill(NaN);
  }

  set(index: number, weight: number): void {
    this.#weights[index] = weight;
    const heap = this.#heap;
    let at = heap.push({ index, weight }) - 1;
    while (at > 0) {
      const parent = (at - 1) >> 1;
      if (heap[parent]!.weight <= heap[at]!.weight) break;
      [heap[parent], heap[at]] = [heap[at]!, heap[parent]!];
      at = parent;
    }
  }

  /** -1 when empty. An index that was set again counts with its last weight only. */
  takeLeast(): number {
    for (;;) {
      const least = this.#pop();
      if (least === undefined) return -1;
      if (this.#weights[least.index] === least.weight) {
        this.#weights[least.index] = NaN;
        return least.index;
      }
    }
  }

  #pop() {
    const heap = this.#heap;
    const least = heap[0];
    const last = heap.pop();
    if (heap.length === 0 || last === undefined) return least;
    heap[0] = last;
    for (let at = 0; ; ) {
      let child = 2 * at + 1;
      if (child >= heap.length) break;
      if (child + 1 < heap.length && heap[child + 1]!.weight < heap[child]!.weight) child += 1;
      if (heap[at]!.weight <= heap[child]!.weight) break;
      [heap[at], heap[child]] = [heap[child]!, heap[at]!];
      at = child;
    }
    return least;
  }
}
