/**
 * Upright pixels of one photograph: orientation applied, embedded profile converted to sRGB, 8 bits a channel,
 * three interleaved channels. `rgb.length === widthPx * heightPx * 3`.
 */
export interface UprightPicture {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly rgb: Uint8Array;
}

/**
 * Grey values 0 to 255 of the same pixels, row by row. `grey.length === widthPx * heightPx`. Whole numbers where memory
 * counts: a large picture's would take four times as much, and asking for it takes longer than filling it.
 */
export interface GreyPicture {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly grey: Float32Array | Uint8Array;
}
