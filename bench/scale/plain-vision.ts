import type { GreyPicture } from "../../packages/picture/src/decode/picture.ts";
import { withVision } from "../../packages/picture/src/vision/opencv.ts";

/** Beside the strongest line, to both sides, in pixels: where a ruler's graduations may stand. */
const OFFSETS_PX = Array.from({ length: 41 }, (_, i) => 4 * (i - 20));
const PITCH_PX = { least: 3, most: 120 } as const;

/**
 * What a general vision library offers: edges (Canny), straight lines (probabilistic Hough), and along the longest of them
 * the strongest period (Fourier). It answers with a period in pixels, of whatever it is; null without a line.
 */
export async function plainPitchPx({ widthPx, heightPx, grey }: GreyPicture): Promise<number | null> {
  return await withVision((cv, scope) => {
    const picture = scope.own(new cv.Mat(heightPx, widthPx, cv.CV_8UC1));
    picture.data.set(grey);
    const edges = scope.own(new cv.Mat());
    cv.Canny(picture, edges, 50, 150);
    const lines = scope.own(new cv.Mat());
    cv.HoughLinesP(edges, lines, 1, Math.PI / 360, 100, widthPx / 6, 20);
    let longest: readonly number[] | null = null;
    const lengthOf = ([x0, y0, x1, y1]: readonly number[]) => Math.hypot(x1! - x0!, y1! - y0!);
    for (let i = 0; i < lines.rows; i++) {
      const line = [...lines.data32S.subarray(4 * i, 4 * i + 4)];
      if (!longest || lengthOf(line) > lengthOf(longest)) longest = line;
    }
    if (!longest) return null;
    const [x0, y0, x1, y1] = longest as [number, number, number, number];
    const length = Math.floor(lengthOf(longest));
    const [ux, uy] = [(x1 - x0) / length, (y1 - y0) / length];
    const samples = scope.own(new cv.Mat(OFFSETS_PX.length, length, cv.CV_32FC1));
    OFFSETS_PX.forEach((o, row) => {
      let sum = 0;
      for (let i = 0; i < length; i++) {
        const x = Math.max(0, Math.min(widthPx - 1, Math.round(x0 + i * ux - o * uy)));
        const y = Math.max(0, Math.min(heightPx - 1, Math.round(y0 + i * uy + o * ux)));
        const value = grey[y * widthPx + x]!;
        samples.data32F[row * length + i] = value;
        sum += value;
      }
      for (let i = 0; i < length; i++) samples.data32F[row * length + i]! -= sum / length;
    });
    const spectrum = scope.own(new cv.Mat());
    cv.dft(samples, spectrum, cv.DFT_ROWS | cv.DFT_COMPLEX_OUTPUT, 0);
    let best = 0;
    let pitchPx: number | null = null;
    for (let row = 0; row < OFFSETS_PX.length; row++) {
      for (let k = Math.ceil(length / PITCH_PX.most); k <= length / PITCH_PX.least; k++) {
        const at = 2 * (row * length + k);
        const power = spectrum.data32F[at]! ** 2 + spectrum.data32F[at + 1]! ** 2;
        if (power > best) {
          best = power;
          pitchPx = length / k;
        }
      }
    }
    return pitchPx;
  });
}
