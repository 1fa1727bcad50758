import { FIGURES, type Figure, POWERS, type Shape } from "./shape.ts";

/** What one standard uncertainty of a source changes each figure by, in the figure's own unit. */
export interface Source {
  readonly name: string;
  readonly effect: Readonly<Record<Figure, number>>;
  /** Errs anew in each region; the others err alike in all regions of a picture. */
  readonly independent?: boolean;
}

export const effectOf = (f: (figure: Figure) => number): Record<Figure, number> =>
  Object.fromEntries(FIGURES.map((figure) => [figure, f(figure)])) as Record<Figure, number>;

/** A source that makes every length wrong by the same share. */
export function lengthwise(name: string, u: number, shape: Shape): Source {
  return { name, effect: effectOf((f) => POWERS[f] * u * shape[f]) };
}
