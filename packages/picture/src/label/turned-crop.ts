import type { XY } from "../answers.ts";
import type { GreyPicture, UprightPicture } from "../decode/picture.ts";
import type { GreyBytes } from "./scanner.ts";

export interface TurnedRectangle {
  readonly centre: { readonly x: number; readonly y: number };
  /** Direction of its width, in degrees from the x axis (x right, y down). */
  readonly deg: number;
  readonly widthPx: number;
  readonly heightPx: number;
}

export interface TurnedCrop extends GreyBytes {
  /** From outer-corner coordinates of the crop to those of the picture. */
  toPicture(point: XY): XY;
}

/**
 * Luma of a turned rectangle of a picture, the rectangle's width along the rows. `scale`: crop pixels per picture
 * pixel. Sampled between the four nearest pixels; beyond the picture its edge is repeated. Luma is made here, where it
 * is wanted: of a whole large picture it takes as long as all searching.
 */
export function turnedCrop(
  picture: UprightPicture | GreyPicture,
  rectangle: TurnedRectangle,
  scale: number,
): TurnedCrop {
  const widthPx = Math.max(1, Math.round(rectangle.widthPx * scale));
  const heightPx = Math.max(1, Math.round(rectangle.heightPx * scale));
  const angle = (rectangle.deg * Math.PI) / 180;
  const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
  const toPicture = ([x, y]: XY): XY => {
    const u = (x - widthPx / 2) / scale;
    const v = (y - heightPx / 2) / scale;
    return [rectangle.centre.x + u * cos - v * sin, rectangle.centre.y + u * sin + v * cos];
  };
  const grey = new Uint8Array(widthPx * heightPx);
  const [stepX, stepY] = [cos / scale, sin / scale];
  for (let y = 0, i = 0; y < heightPx; y++) {
    // From here on counted from the centre of the picture's first pixel.
    let [px, py] = toPicture([0.5, y + 0.5]);
    px -= 0.5;
    py -= 0.5;
    for (let x = 0; x < widthPx; x++, i++, px += stepX, py += stepY) grey[i] = between(picture, px, py);
  }
  return { widthPx, heightPx, grey, toPicture };
}

function between(picture: UprightPicture | GreyPicture, x: number, y: number): number {
  const { widthPx, heightPx } = picture;
  const cx = Math.min(Math.max(x, 0), widthPx - 1);
  const cy = Math.min(Math.max(y, 0), heightPx - 1);
  const x0 = cx | 0;
  const y0 = cy | 0;
  const right = x0 < widthPx - 1 ? 1 : 0;
  const down = y0 < heightPx - 1 ? widthPx : 0;
  const i = y0 * widthPx + x0;
  const fx = cx - x0;
  const above = luma(picture, i);
  const top = above + (luma(picture, i + right) - above) * fx;
  const below = luma(picture, i + down);
  const bottom = below + (luma(picture, i + down + right) - below) * fx;
  return top + (bottom - top) * (cy - y0) + 0.5;
}

/** @source Bt709, item 3.2 */
function luma(picture: UprightPicture | GreyPicture, i: number): number {
  if ("grey" in picture) return picture.grey[i]!;
  const { rgb } = picture;
  return 0.2126 * rgb[3 * i]! + 0.7152 * rgb[3 * i + 1]! + 0.0722 * rgb[3 * i + 2]!;
}
