import type { Size } from "../../decode/fitting-size.ts";
import type { Laid } from "./laid-picture.ts";

/** Left half from one picture, right half from the other: what runs across the line shows whether they fit. */
export function splitOf(left: Laid, right: Laid): Laid {
  const rgb = left.rgb.slice();
  const { widthPx, heightPx } = left;
  const half = Math.round(widthPx / 2);
  for (let y = 0; y < heightPx; y++) {
    const row = 3 * y * widthPx;
    rgb.set(right.rgb.subarray(row + 3 * half, row + 3 * widthPx), row + 3 * half);
  }
  return { widthPx, heightPx, rgb };
}

/** Light in dark, to be seen on every skin; thin, since it hides what it parts. */
export function splitLine({ widthPx, heightPx }: Size): string {
  const x = Math.round(widthPx / 2);
  return `<rect x="${x - 1.5}" y="0" width="3" height="${heightPx}" fill="#1e1f20"/><rect x="${x - 0.5}" y="0" width="1" height="${heightPx}" fill="#f6f6f4"/>`;
}
