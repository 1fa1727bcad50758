import {
  applyHomography,
  contains,
  invertHomography,
  type Matrix3,
  planePoint,
  type Region,
} from "@samescale/geometry";
import type { OutlineRegion } from "../../answers.ts";
import type { DecodedPicture } from "../../decode/decode.ts";
import { BLACK, BURNT_OUT } from "../clipping.ts";
import type { Lab } from "../delta-e00.ts";
import { linearToLabD50, luminanceOf, srgbToLinear, type Triple } from "../space.ts";

/** A small place of skin as both pictures show it; mean linear light, sRGB primaries. */
export interface SkinPlace {
  /** Middle, full-size pixels of the baseline. */
  readonly x: number;
  readonly y: number;
  readonly baseline: Triple;
  readonly followup: Triple;
}

export interface SkinPlaces {
  readonly places: readonly SkinPlace[];
  /** Share of the baseline that they cover. */
  readonly share: number;
}

/** Places along the baseline's long side. */
const PER_SIDE = 48;
const SAMPLES = 8;
/** Relative spread of light within a place: more is an edge, hair or a fold, and a pixel beside it another colour. */
const MOST_SPREAD = 0.25;

const linearOf = Float64Array.from({ length: 256 }, (_, v) => srgbToLinear(v / 255));

/**
 * Places on a grid over the baseline that both pictures show, with skin's hue in the baseline, evenly lit within, neither
 * burnt out nor black, outside the regions that must not count.
 *
 * @param followupToBaseline full-size pixels
 */
export function skinPlaces(
  baseline: DecodedPicture,
  followup: DecodedPicture,
  followupToBaseline: Matrix3,
  ignored: { readonly baseline: readonly OutlineRegion[]; readonly followup: readonly OutlineRegion[] },
): SkinPlaces {
  const toFollowup = invertHomography(followupToBaseline);
  const side = Math.max(baseline.fullWidthPx, baseline.fullHeightPx) / PER_SIDE;
  const inBaseline = ignored.baseline.map(regionOf);
  const inFollowup = ignored.followup.map(regionOf);
  const places: SkinPlace[] = [];
  for (let y = side / 2; y < baseline.fullHeightPx; y += side) {
    for (let x = side / 2; x < baseline.fullWidthPx; x += side) {
      if (inBaseline.some((region) => contains(region, planePoint(x, y)))) continue;
      const there = applyHomography(toFollowup, { x, y });
      if (inFollowup.some((region) => contains(region, planePoint(there.x, there.y)))) continue;
      const seen = placeIn(baseline, x, y, side, (p) => p);
      if (!seen || !isSkin(linearToLabD50(seen))) continue;
      const again = placeIn(followup, x, y, side, (p) => applyHomography(toFollowup, p));
      if (again) places.push({ x, y, baseline: seen, followup: again });
    }
  }
  const area = baseline.fullWidthPx * baseline.fullHeightPx;
  return { places, share: (places.length * side * side) / area };
}

const ringOf = (ring: OutlineRegion["outline"]) => ring.map(([x, y]) => planePoint(x, y));
const regionOf = ({ outline, holes }: OutlineRegion): Region => ({
  outline: ringOf(outline),
  holes: holes.map(ringOf),
});

/** Skin of every tone lies between pink and yellow, neither grey nor as strong as blood; a wide gate. @source Chardon1991 */
function isSkin([l, a, b]: Lab): boolean {
  const chroma = Math.hypot(a, b);
  const hueDeg = (Math.atan2(b, a) * 180) / Math.PI;
  return l > 12 && l < 95 && chroma > 5 && chroma < 45 && hueDeg > 5 && hueDeg < 88;
}

interface XY {
  readonly x: number;
  readonly y: number;
}

/** Mean linear colour of the place; null where it is not whole in the picture, clipped, or not even. */
function placeIn(
  { rgb, widthPx, heightPx, scale }: DecodedPicture,
  x: number,
  y: number,
  side: number,
  toPicture: (p: XY) => XY,
): Triple | null {
  const sums = [0, 0, 0];
  let [light, light2] = [0, 0];
  for (let j = 0; j < SAMPLES; j++) {
    for (let i = 0; i < SAMPLES; i++) {
      const p = toPicture({
        x: x + ((i + 0.5) / SAMPLES - 0.5) * side,
        y: y + ((j + 0.5) / SAMPLES - 0.5) * side,
      });
      const [px, py] = [Math.floor(p.x * scale), Math.floor(p.y * scale)];
      if (!(px >= 0 && py >= 0 && px < widthPx && py < heightPx)) return null;
      const at = 3 * (py * widthPx + px);
      const [r, g, b] = [rgb[at]!, rgb[at + 1]!, rgb[at + 2]!];
      if (Math.max(r, g, b) >= BURNT_OUT || Math.min(r, g, b) <= BLACK) return null;
      const linear: Triple = [linearOf[r]!, linearOf[g]!, linearOf[b]!];
      for (const c of [0, 1, 2] as const) sums[c]! += linear[c];
      const own = luminanceOf(linear);
      light += own;
      light2 += own * own;
    }
  }
  const n = SAMPLES * SAMPLES;
  const mean = light / n;
  if (Math.sqrt(Math.max(0, light2 / n - mean * mean)) > MOST_SPREAD * mean) return null;
  return [sums[0]! / n, sums[1]! / n, sums[2]! / n];
}
