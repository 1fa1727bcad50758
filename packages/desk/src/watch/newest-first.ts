export interface NewestFirstOptions<T> {
  /** At most so many pieces of work run at a time: the threads there are. */
  readonly workers: number;
  /** Does one piece; must not throw, and should end soon when the signal is aborted. */
  readonly work: (item: T, signal: AbortSignal) => Promise<void>;
  /** Below zero when `a` is newer than `b`. */
  readonly byNewness: (a: T, b: T) => number;
  readonly signal: AbortSignal;
  readonly clock: () => number;
  /** An item that has waited longer gets every second free worker, so that it is not put off for ever. */
  readonly patienceMs?: number;
}

interface Waiting<T> {
  readonly item: T;
  readonly sinceMs: number;
}

/**
 * Work of which the newest matters most: the photographer looks at the frame just made. A free worker takes the newest
 * item; older ones are caught up with in the pauses, and when they have waited too long by turns.
 */
export class NewestFirst<T> {
  readonly #options: Required<NewestFirstOptions<T>>;
  #waiting: Waiting<T>[] = [];
  readonly #running = new Map<T, AbortController>();
  #overdueLast = false;
  #idle = Promise.withResolvers<void>();

  constructor(options: NewestFirstOptions<T>) {
    this.#options = { patienceMs: 10_000, ...options };
    this.#idle.resolve();
    options.signal.addEventListener("abort", () => this.drop(() => true), { once: true });
  }

  add(item: T): void {
    if (this.#options.signal.aborted) return;
    if (this.#waiting.length + this.#running.size === 0) this.#idle = Promise.withResolvers();
    this.#waiting.push({ item, sinceMs: this.#options.clock() });
    // What arrives together is sorted before any of it is begun.
    queueMicrotask(() => this.#begin());
  }

  /** Takes items out, also those being worked on: their signal is aborted. */
  drop(isUnwanted: (item: T) => boolean): void {
    this.#waiting = this.#waiting.filter(({ item }) => !isUnwanted(item));
    for (const [item, controller] of this.#running) if (isUnwanted(item)) controller.abort();
    this.#settle();
  }

  /** Ends when nothing waits and nothing runs. */
  idle(): Promise<void> {
    return this.#idle.promise;
  }

  #begin(): void {
    while (this.#running.size < this.#options.workers && this.#waiting.length > 0) {
      const { item } = this.#next();
      const controller = new AbortController();
      this.#running.set(item, controller);
      void this.#options.work(item, controller.signal).finally(() => {
        this.#running.delete(item);
        this.#begin();
        this.#settle();
      });
    }
  }

  #next(): Waiting<T> {
    const longest = this.#waiting.reduce((a, b) => (b.sinceMs < a.sinceMs ? b : a));
    const isOverdue = this.#options.clock() - longest.sinceMs > this.#options.patienceMs;
    this.#overdueLast = isOverdue && !this.#overdueLast;
    const newest = this.#waiting.reduce((a, b) => (this.#options.byNewness(b.item, a.item) < 0 ? b : a));
    const next = this.#overdueLast ? longest : newest;
    this.#waiting.splice(this.#waiting.indexOf(next), 1);
    return next;
  }

  #settle(): void {
    if (this.#waiting.length + this.#running.size === 0) this.#idle.resolve();
  }
}
