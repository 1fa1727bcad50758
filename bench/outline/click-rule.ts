import type { UprightPicture } from "../../packages/picture/src/decode/picture.ts";
import { depthInside } from "../../packages/picture/src/outline/mask.ts";
import { proposeOutline } from "../../packages/picture/src/outline/propose.ts";
import { dice, filled } from "../../packages/picture/test/outline/drawn.ts";

type XY = readonly [x: number, y: number];

/** Each click misses by this far, in a direction of chance. */
export interface Jitter {
  readonly byPx: number;
  readonly random: () => number;
}

/**
 * Dice after each click, clicks placed as `../shared/score/outline.mjs` places them: the first at the deepest point of the
 * truth, each next one at the deepest point of what is still wrong. What a jittered click is called (inside, outside) stays
 * what the person meant.
 */
export function diceAfterClicks(
  picture: UprightPicture,
  truth: Uint8Array,
  clicks: number,
  jitter?: Jitter,
): number[] {
  const { widthPx: w, heightPx: h } = picture;
  const inside: XY[] = [];
  const outside: XY[] = [];
  const after: number[] = [];
  let found = new Uint8Array(w * h);
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
    found = filled(proposeOutline(picture, { inside, outside }).regions, w, h) as Uint8Array<ArrayBuffer>;
    after.push(dice(found, truth));
  }
  return after;
}

function deepest(mask: Uint8Array, width: number, height: number): { at: XY; depth: number } | null {
  const depth = depthInside(mask, { width, height });
  let best = 0;
  for (let i = 1; i < depth.length; i++) if (depth[i]! > depth[best]!) best = i;
  return depth[best]! > 0
    ? { at: [(best % width) + 0.5, Math.floor(best / width) + 0.5], depth: depth[best]! }
    : null;
}

function missing([x, y]: XY, w: number, h: number, jitter?: Jitter): XY {
  if (!jitter) return [x, y];
  const direction = 2 * Math.PI * jitter.random();
  return [
    Math.min(w, Math.max(0, x + jitter.byPx * Math.cos(direction))),
    Math.min(h, Math.max(0, y + jitter.byPx * Math.sin(direction))),
  ];
}
