import type { UprightPicture } from "../../decode/picture.ts";

/**
 * For each pixel the largest step between its neighbours left and right, above and below, over the channels, after a
 * 3 × 3 box: small where the picture is flat. The outermost rows and columns hold 255. Whole numbers throughout and one
 * pass over the picture, as it is the longest part of the search.
 */
export function largestSteps({ widthPx: w, heightPx: h, rgb }: UprightPicture): Uint8Array {
  const steps = new Uint8Array(w * h).fill(255);
  const stride = 3 * w;
  // sums over 3 × 3 of the row above, this one and the one below, in turn
  const box = [new Int16Array(stride), new Int16Array(stride), new Int16Array(stride)];
  const lines = [new Int16Array(stride), new Int16Array(stride), new Int16Array(stride)];
  const sumLine = (y: number) => lineSums(rgb, y * stride, w, lines[y % 3]!);
  const sumBox = (y: number) => {
    const to = box[y % 3]!;
    const [a, b, c] = [lines[Math.max(0, y - 1) % 3]!, lines[y % 3]!, lines[Math.min(h - 1, y + 1) % 3]!];
    for (let i = 0; i < stride; i++) to[i] = a[i]! + b[i]! + c[i]!;
  };
  for (let y = 0; y < Math.min(2, h); y++) sumLine(y);
  sumBox(0);
  for (let y = 1; y < h; y++) {
    if (y + 1 < h) sumLine(y + 1);
    sumBox(y);
    if (y >= 2) stepsOfRow(box[y % 3]!, box[(y - 1) % 3]!, box[(y - 2) % 3]!, w, steps, (y - 1) * w);
  }
  return steps;
}

/** Sums of three neighbours in a row, channel by channel; the rim counts its own pixel twice. */
function lineSums(rgb: Uint8Array, from: number, w: number, to: Int16Array): void {
  const last = 3 * (w - 1);
  for (let c = 0; c < 3; c++) {
    const [first, end] = [rgb[from + c]!, rgb[from + last + c]!];
    to[c] = 2 * first + rgb[from + Math.min(3, last) + c]!;
    to[last + c] = 2 * end + rgb[from + Math.max(0, last - 3) + c]!;
  }
  for (let i = 3; i < last; i++) to[i] = rgb[from + i - 3]! + rgb[from + i]! + rgb[from + i + 3]!;
}

function stepsOfRow(
  below: Int16Array,
  here: Int16Array,
  above: Int16Array,
  w: number,
  steps: Uint8Array,
  to: number,
): void {
  for (let x = 1, i = 3; x < w - 1; x++, i += 3) {
    let most = 0;
    for (let c = i; c < i + 3; c++) {
      const across = here[c + 3]! - here[c - 3]!;
      const down = below[c]! - above[c]!;
      if (across > most) most = across;
      else if (-across > most) most = -across;
      if (down > most) most = down;
      else if (-down > most) most = -down;
    }
    steps[to + x] = most >= 2295 ? 255 : ((most + 8) / 9) | 0;
  }
}
