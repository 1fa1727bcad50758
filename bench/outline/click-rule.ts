import type { OutlineRegion } from "../../packages/picture/src/answers.ts";
import type { UprightPicture } from "../../packages/picture/src/decode/picture.ts";
import { proposeOutline } from "../../packages/picture/src/outline/propose.ts";
import { dice, filled } from "../../packages/picture/test/outline/drawn.ts";

type XY = readonly [x: number, y: number];

/** Each click misses by this far, in a direction of chance. */
export interface Jitter {
  readonly byPx: number;
  readonly random: () => number;
}

/**
 * Outlines after each click, clicks placed as `../shared/score/outline.mjs` places them: the first at the deepest point of the
 * truth, each next one at the deepest point of what is still wrong. What a jittered click is called (inside, outside) stays
 * what the person meant.
 */
export function outlinesAfterClicks(
  picture: UprightPicture,
  truth: Uint8Array,
  clicks: number,
  jitter?: Jitter,
): { readonly regions: readonly OutlineRegion[]; readonly found: Uint8Array }[] {
  const { widthPx: w, heightPx: h } = picture;
  const inside: XY[] = [];
  const outside: XY[] = [];
  const after: { regions: readonly OutlineRegion[]; found: Uint8Array }[] = [];
  let found: Uint8Array = new Uint8Array(w * h);
  for (let k = 0; k < clicks; k++) {
    const missed = deepest(
      truth.map((v, i) => (v && !found[i] ? 1 : 0)),
      w,
      h,
    );
    const extra = deepest(
      truth.map((v, i) => (!v && found[i] ? 1 : 0)),
      w,
      h,
    );
    if (missed && (!extra || missed.depth >= extra.depth)) inside.push(missing(missed.at, w, h, jitter));
    else if (extra) outside.push(missing(extra.at, w, h, jitter));
    const { regions } = proposeOutline(picture, { inside, outside });
    found = filled(regions, w, h);
    after.push({ regions, found });
  }
  return after;
}

/** Dice after each of these clicks. */
export const diceAfterClicks = (...asked: Parameters<typeof outlinesAfterClicks>): number[] =>
  outlinesAfterClicks(...asked).map(({ found }) => dice(found, asked[1]));

/** By steps of 1 and √2, of equals the last in reading order: as the score program counts, for the same clicks. */
function deepest(mask: Uint8Array, width: number, height: number): { at: XY; depth: number } | null {
  const depth = new Float32Array((width + 2) * (height + 2));
  const row = width + 2;
  const cell = (x: number, y: number) => (y + 1) * row + x + 1;
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      if (!mask[y * width + x]) continue;
      const o = cell(x, y);
      depth[o] =
        Math.min(
          depth[o - 1]!,
          depth[o - row]!,
          DIAGONAL + Math.min(depth[o - row - 1]!, depth[o - row + 1]!) - 1,
        ) + 1;
    }
  }
  let best = 0;
  for (let y = height - 1; y >= 0; y--) {
    for (let x = width - 1; x >= 0; x--) {
      const o = cell(x, y);
      if (!depth[o]) continue;
      const back =
        Math.min(
          depth[o + 1]!,
          depth[o + row]!,
          DIAGONAL + Math.min(depth[o + row + 1]!, depth[o + row - 1]!) - 1,
        ) + 1;
      depth[o] = Math.min(depth[o]!, back);
      if (depth[o]! > depth[best]!) best = o;
    }
  }
  if (best === 0) return null;
  return { at: [(best % row) - 0.5, Math.floor(best / row) - 0.5], depth: depth[best]! };
}

const DIAGONAL = Math.SQRT2;

function missing([x, y]: XY, w: number, h: number, jitter?: Jitter): XY {
  if (!jitter) return [x, y];
  const direction = 2 * Math.PI * jitter.random();
  return [
    Math.min(w, Math.max(0, x + jitter.byPx * Math.cos(direction))),
    Math.min(h, Math.max(0, y + jitter.byPx * Math.sin(direction))),
  ];
}
