export interface Size {
  readonly widthPx: number;
  readonly heightPx: number;
}

export const TILE_PX = 512;

/** Sizes of the picture at every level: level 0 is one pixel, each next one twice as large, the last the picture. */
export function levelsOf(picture: Size): Size[] {
  const levels = [picture];
  for (let at = picture; Math.max(at.widthPx, at.heightPx) > 1; ) {
    at = { widthPx: Math.ceil(at.widthPx / 2), heightPx: Math.ceil(at.heightPx / 2) };
    levels.unshift(at);
  }
  return levels;
}

/** The finest level that a smaller picture of it shows in full; the coarsest where there is none. */
export function levelWithin(levels: readonly Size[], longSidePx: number): number {
  const within = levels.findLastIndex((l) => Math.max(l.widthPx, l.heightPx) <= longSidePx);
  return Math.max(0, within);
}

export const isTile = ({ widthPx, heightPx }: Size, column: number, row: number): boolean =>
  column < Math.ceil(widthPx / TILE_PX) && row < Math.ceil(heightPx / TILE_PX);
