import type { GreyPicture, UprightPicture } from "./picture.ts";

/**
 * Luma of an upright picture: 0.2126 R + 0.7152 G + 0.0722 B of the gamma-coded values, 0 to 255.
 * This is not luminance: edges keep the contrast that a person sees on the screen, and no linearisation is paid for.
 * @source Bt709, item 3.2
 */
export function greyOf(picture: UprightPicture): GreyPicture {
  const { widthPx, heightPx, rgb } = picture;
  const grey = new Float32Array(widthPx * heightPx);
  for (let i = 0, j = 0; i < grey.length; i++, j += 3) {
    grey[i] = 0.2126 * rgb[j]! + 0.7152 * rgb[j + 1]! + 0.0722 * rgb[j + 2]!;
  }
  return { widthPx, heightPx, grey };
}

/** The same to the nearest whole grey level: less than the picture's own rounding, in a quarter of the memory. */
export function wholeGreyOf(picture: UprightPicture): GreyPicture {
  const { widthPx, heightPx, rgb } = picture;
  const grey = new Uint8Array(widthPx * heightPx);
  // The weights in parts of 65536.
  for (let i = 0, j = 0; i < grey.length; i++, j += 3) {
    grey[i] = (13933 * rgb[j]! + 46871 * rgb[j + 1]! + 4732 * rgb[j + 2]! + 32768) >> 16;
  }
  return { widthPx, heightPx, grey };
}
