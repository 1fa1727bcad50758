import type { GreyPicture } from "../decode/picture.ts";
import type { Judged, Sharpness } from "../look-answer.ts";
import { countOf, eroded, grown, quantileOf } from "./cells.ts";
import { type EdgePlace, edgesIn, type Tile } from "./edge-spread.ts";
import { motionOf } from "./motion.ts";
import type { ScaleLine } from "./near-scale.ts";
import type { FrameParts } from "./parts-of-frame.ts";
import type { Reduced } from "./reduced.ts";

/** Full-size pixels that are looked at in all: the time that it takes. */
const MOST_PIXELS = 700_000;
/** How much of the subject's box, about its middle, its middle part is. */
const MIDDLE = 0.6;
/** Kept clear of the subject's edge, which is soft because it turns away, and of scales, cells. */
const CLEAR_OF_EDGE = 8;
const CLEAR_OF_SCALE = 4;
/** Of so many strongest edges, the sharpest this share: what is in focus shows the lens, the rest its own softness. */
const STRONGEST = 200;
const SHARPEST = 0.15;
/** Fewer edges than these could be chance. */
const LEAST_EDGES = 15;
/** Beyond this disc, px of the level, a halved picture tells it better; at most so many times. */
const WIDE_PX = 6.5;
const MOST_HALVED = 3;
/** Disc with the same standard deviation in one direction as a bell of σ: a disc of diameter d has d/4. */
const DISC_PER_SIGMA = 4;
/** 95 %: measured on rendered pictures with known blur (bench/bedside-checks). */
const U95_PX = 3;
const U95_SHARE = 0.45;

/** Whether the subject itself is sharp, at its middle part and clear of the scale. */
export function focusOfSubject(
  grey: GreyPicture,
  picture: Reduced,
  parts: FrameParts | null,
  nearScales: Uint8Array,
): Judged<Sharpness> {
  if (!parts) return { judged: false, why: "No skin is seen: its sharpness cannot be told." };
  const things = nearScales.map((near, i) => (near && !parts.skin[i] ? 1 : 0));
  const inner = eroded(parts.subject, picture, CLEAR_OF_EDGE);
  const laidOn = grown(things, picture, CLEAR_OF_SCALE);
  const usable = inner.map((v, i) => (v && !laidOn[i] ? 1 : 0));
  if (countOf(usable) === 0)
    return { judged: false, why: "Too little of the subject is seen clear of its edge and the scale." };
  const tiles = tilesOn(usable, picture);
  return sharpnessOf(
    grey,
    tiles,
    "The subject's middle shows no detail that its sharpness could be told by.",
  );
}

/** Whether the scale is sharp. */
export function focusOfScale(grey: GreyPicture, lines: readonly ScaleLine[]): Judged<Sharpness> {
  if (lines.length === 0) return { judged: false, why: "No scale was read." };
  const side = tileSide(grey);
  const tiles = lines.flatMap(({ from, along, lengthPx }) => {
    const count = Math.max(
      1,
      Math.min(MOST_PIXELS / side ** 2 / 2 / lines.length, Math.ceil(lengthPx / side)),
    );
    return Array.from({ length: Math.floor(count) }, (_, k) => {
      const at = ((k + 0.5) / count) * lengthPx;
      return tileAbout(grey, from.x + at * along.x, from.y + at * along.y, side);
    });
  });
  const whole = tiles.filter((tile): tile is Tile => tile !== null);
  return sharpnessOf(grey, whole, "The scale shows too few edges that its sharpness could be told by.");
}

function sharpnessOf(grey: GreyPicture, tiles: readonly Tile[], why: string): Judged<Sharpness> {
  let found: { readonly edges: readonly EdgePlace[]; readonly blurPx: number } | null = null;
  for (let level = 0; level <= MOST_HALVED; level++) {
    const edges = tiles.flatMap((tile) => edgesIn(grey, tile, level)).sort((a, b) => b.slope - a.slope);
    if (edges.length >= LEAST_EDGES) {
      const blurPx = DISC_PER_SIGMA * sharpestOf(edges);
      if (!found || blurPx > found.blurPx) found = { edges, blurPx };
    }
    if (found && found.blurPx < WIDE_PX * 2 ** level) break;
  }
  if (!found) return { judged: false, why };
  const { edges, blurPx } = found;
  return {
    judged: true,
    blurPx: { value: blurPx, u95: Math.hypot(U95_PX, U95_SHARE * blurPx) },
    edges: edges.length,
    motion: motionOf(edges),
  };
}

function sharpestOf(edges: readonly EdgePlace[]): number {
  return quantileOf(
    edges.slice(0, STRONGEST).map(({ sigmaPx }) => sigmaPx),
    SHARPEST,
  );
}

/** A twelfth of the long side: small enough to lie clear of edges, large enough to halve. */
const tileSide = ({ widthPx, heightPx }: { readonly widthPx: number; readonly heightPx: number }): number =>
  Math.min(256, Math.max(64, 16 * Math.round(Math.max(widthPx, heightPx) / 12 / 16)));

function tileAbout({ widthPx, heightPx }: GreyPicture, x: number, y: number, side: number): Tile | null {
  if (widthPx < side || heightPx < side) return null;
  const left = Math.round(Math.min(widthPx - side, Math.max(0, x - side / 2)));
  const top = Math.round(Math.min(heightPx - side, Math.max(0, y - side / 2)));
  return { left, top, side };
}

/** Tiles that lie wholly on usable cells, those about the subject's middle if there are enough; where most goes on first. */
function tilesOn(usable: Uint8Array, picture: Reduced): Tile[] {
  const side = tileSide(picture);
  const { cellPx, columns, rows, widthPx, heightPx } = picture;
  let [left, top, right, bottom] = [columns, rows, 0, 0];
  usable.forEach((v, i) => {
    if (!v) return;
    const x = i % columns;
    const y = (i - x) / columns;
    left = Math.min(left, x);
    right = Math.max(right, x + 1);
    top = Math.min(top, y);
    bottom = Math.max(bottom, y + 1);
  });
  const [cx, cy] = [((left + right) / 2) * cellPx, ((top + bottom) / 2) * cellPx];
  const [reachX, reachY] = [((right - left) * cellPx * MIDDLE) / 2, ((bottom - top) * cellPx * MIDDLE) / 2];
  const tiles: { readonly tile: Tile; readonly detail: number; readonly isMiddle: boolean }[] = [];
  for (let y = 0; y + side <= heightPx; y += side / 2) {
    for (let x = 0; x + side <= widthPx; x += side / 2) {
      const detail = detailIn(usable, picture, x, y, side);
      if (detail === null) continue;
      const isMiddle = Math.abs(x + side / 2 - cx) <= reachX && Math.abs(y + side / 2 - cy) <= reachY;
      tiles.push({ tile: { left: x, top: y, side }, detail, isMiddle });
    }
  }
  const middle = tiles.filter(({ isMiddle }) => isMiddle);
  const ranked = (middle.length >= 4 ? middle : tiles).sort((a, b) => b.detail - a.detail);
  const chosen: Tile[] = [];
  for (const { tile } of ranked) {
    if (chosen.length >= MOST_PIXELS / side ** 2) break;
    const overlaps = chosen.some(
      (c) => Math.abs(c.left - tile.left) < side && Math.abs(c.top - tile.top) < side,
    );
    if (!overlaps) chosen.push(tile);
  }
  return chosen;
}

/** Sum over the cells of a tile; null where one of them is not usable. */
function detailIn(
  usable: Uint8Array,
  picture: Reduced,
  left: number,
  top: number,
  side: number,
): number | null {
  const { cellPx, columns, rows, detail } = picture;
  const [x0, y0] = [Math.floor(left / cellPx), Math.floor(top / cellPx)];
  const x1 = Math.min(columns, Math.ceil((left + side) / cellPx));
  const y1 = Math.min(rows, Math.ceil((top + side) / cellPx));
  let sum = 0;
  for (let y = y0; y < y1; y++) {
    for (let x = x0; x < x1; x++) {
      const i = y * columns + x;
      if (!usable[i]) return null;
      sum += detail[i]!;
    }
  }
  return sum;
}
