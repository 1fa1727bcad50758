/** A value and the half-width of its 95 % interval (expanded uncertainty, k about 2), in the same unit. */
export interface Measured {
  readonly value: number;
  readonly u95: number;
}
