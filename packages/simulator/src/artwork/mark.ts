/** Linear-light reflectance of the sRGB primaries; 1 = perfect white. */
export type Rgb = readonly [r: number, g: number, b: number];

/** A closed outline in a thing's own millimetres: x0, y0, x1, y1, … */
export type Ring = Float64Array;

/** Writes into `out` for a place in the thing's own millimetres. */
export type Shader = (xMm: number, yMm: number, out: Float64Array) => void;

export type Fill =
  /** Covers what is below. */
  | { readonly kind: "ink"; readonly rgb: Rgb; readonly alpha: number }
  /** Covers what is below; the shader writes r, g, b, alpha. */
  | { readonly kind: "paint"; readonly shade: Shader }
  /** Multiplies what is below; the shader writes r, g, b. Its texture stays. */
  | { readonly kind: "stain"; readonly shade: Shader };

/**
 * One thing drawn: everything inside the rings (non-zero winding) gets the fill. Rings of one mark that overlap must
 * turn the same way; a hole turns the other way.
 */
export interface Mark {
  readonly rings: readonly Ring[];
  readonly fill: Fill;
}

export const ink = (rings: readonly Ring[], rgb: Rgb, alpha = 1): Mark => ({
  rings,
  fill: { kind: "ink", rgb, alpha },
});
