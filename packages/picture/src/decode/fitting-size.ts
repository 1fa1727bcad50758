export interface Size {
  readonly widthPx: number;
  readonly heightPx: number;
}

/** How far below the asked side the search may go. */
const SEARCH_SHARE = 0.05;

/**
 * The whole-pixel size, at most `maxSidePx` on the long side, whose two axes are reduced by as nearly the same
 * factor as can be. A size rounded on each axis alone would make distances across and along the picture differ
 * by up to half a pixel; the search takes a size up to 5 % smaller for which they agree best: exactly for the sides
 * of nearly every camera, as 3:2 and 4:3 have small common measures, to about a tenth of a pixel for odd crops.
 */
export function fittingSize(full: Size, maxSidePx: number): Size & { readonly scale: number } {
  const long = Math.max(full.widthPx, full.heightPx);
  const short = Math.min(full.widthPx, full.heightPx);
  const most = Math.floor(maxSidePx);
  if (long <= most) return { ...full, scale: 1 };
  let best = {
    long: most,
    short: Math.max(1, Math.round((short * most) / long)),
    off: Number.POSITIVE_INFINITY,
  };
  for (let l = most; l >= Math.max(1, Math.ceil(most * (1 - SEARCH_SHARE))); l--) {
    const exact = (short * l) / long;
    const s = Math.max(1, Math.round(exact));
    const off = Math.abs(s - exact);
    if (off < best.off - 1e-9) best = { long: l, short: s, off };
  }
  const wide = full.widthPx >= full.heightPx;
  return {
    widthPx: wide ? best.long : best.short,
    heightPx: wide ? best.short : best.long,
    scale: best.long / long,
  };
}
