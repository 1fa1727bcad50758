import type { Patch } from "./agreement.ts";
import type { WorkPicture } from "./work-picture.ts";

/** Pixels on either side of the edge between which colours are compared: a sharp edge is over by then, a soft one is not. */
const APART_PX = 1;

/** Mean difference of colour across the edge of a patch, L*a*b* units. */
export function edgeContrast(work: WorkPicture, { left, top, width, height, share }: Patch): number {
  const { lab, widthPx, heightPx } = work.levels[0]!;
  const isInside = (x: number, y: number) => x < width && y < height && share[y * width + x]! >= 0.5;
  let sum = 0;
  let count = 0;
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const here = isInside(x, y);
      const [wx, wy] = [left + x, top + y];
      if (wx < APART_PX || wy < APART_PX || wx + 1 + APART_PX >= widthPx || wy + 1 + APART_PX >= heightPx)
        continue;
      for (const [dx, dy] of STEPS) {
        if (isInside(x + dx, y + dy) === here) continue;
        const a = 3 * ((wy - dy * APART_PX) * widthPx + wx - dx * APART_PX);
        const b = 3 * ((wy + dy * (1 + APART_PX)) * widthPx + wx + dx * (1 + APART_PX));
        sum += Math.hypot(lab[a]! - lab[b]!, lab[a + 1]! - lab[b + 1]!, lab[a + 2]! - lab[b + 2]!);
        count++;
      }
    }
  }
  return count > 0 ? sum / count : 0;
}

const STEPS = [
  [1, 0],
  [0, 1],
] as const;
