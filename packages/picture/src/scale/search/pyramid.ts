import type { GreyPicture } from "../../decode/picture.ts";

/**
 * One octave of the picture. Coordinates are those of the contract (origin at the outer corner of the top left
 * pixel), so that a point of a level is the same point of the picture divided by `scale`, without any offset.
 */
export interface Level extends GreyPicture {
  /** Picture pixels per pixel of this level: 1, 2, 4 … */
  readonly scale: number;
}

/** The shortest side worth searching: two tiles of 64 px must fit. */
const SHORTEST_SIDE_PX = 110;

/** The picture, halved by area again and again; finest first. Odd last rows and columns are dropped. */
export function pyramidOf(picture: GreyPicture): Level[] {
  const levels: Level[] = [{ ...picture, scale: 1 }];
  for (;;) {
    const last = levels.at(-1) as Level;
    if (Math.min(last.widthPx, last.heightPx) < 2 * SHORTEST_SIDE_PX) return levels;
    levels.push(halved(last));
  }
}

function halved(from: Level): Level {
  const widthPx = from.widthPx >> 1;
  const heightPx = from.heightPx >> 1;
  const grey = new Float32Array(widthPx * heightPx);
  const source = from.grey;
  for (let y = 0, to = 0; y < heightPx; y++) {
    let a = 2 * y * from.widthPx;
    let b = a + from.widthPx;
    for (let x = 0; x < widthPx; x++, to++, a += 2, b += 2) {
      grey[to] = 0.25 * (source[a]! + source[a + 1]! + source[b]! + source[b + 1]!);
    }
  }
  return { widthPx, heightPx, grey, scale: from.scale * 2 };
}
